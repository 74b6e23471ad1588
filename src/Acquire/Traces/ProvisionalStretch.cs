using System.Diagnostics;
using System.Runtime.InteropServices;
using Acquire.Scales;

namespace Acquire.Traces;

/// <summary>Keeps what a trace held before a stretch of scans on which the tracker has not decided, so that it can be dropped.</summary>
internal sealed class ProvisionalStretch(int columnCount, IReadOnlyCollection<AveragingDomain> domains)
{
    private readonly bool[] _isSaved = new bool[columnCount];

    /// <summary>The trace's state beside its columns, before the stretch.</summary>
    [StructLayout(LayoutKind.Auto)]
    public readonly record struct State(int Front, bool FrontMovesDown, long SweepNumber, long PassFirstSweep);

    public TraceColumns Saved { get; } = new(columnCount, domains);

    public State Before { get; private set; }

    public bool IsOpen { get; private set; }

    /// <summary>First column that may be saved.</summary>
    public int First { get; private set; } = int.MaxValue;

    /// <summary>One past the last column that may be saved.</summary>
    public int End { get; private set; }

    public bool IsSaved(int column) => _isSaved[column];

    public void Open(State before)
    {
        Debug.Assert(!IsOpen, "T2: a provisional stretch is open already.");
        IsOpen = true;
        Before = before;
    }

    public void Save(int column, TraceColumns columns)
    {
        if (_isSaved[column]) return;
        _isSaved[column] = true;
        Saved.Copy(column, columns);
        First = Math.Min(First, column);
        End = Math.Max(End, column + 1);
    }

    public void Forget()
    {
        if (End > First) Array.Clear(_isSaved, First, End - First);
        First = int.MaxValue;
        End = 0;
        IsOpen = false;
    }
}
