using System.Runtime.InteropServices;
using Acquire.Scales;

namespace Acquire.Traces;

/// <summary>What a trace held before the sweep under way touched it, so that scans, or the whole sweep, can be withdrawn.</summary>
internal sealed class TraceBefore(int columnCount, IReadOnlyCollection<AveragingDomain> domains)
{
    private readonly bool[] _isSaved = new bool[columnCount];
    private bool _isSettled;

    /// <summary>The trace's state beside its columns.</summary>
    [StructLayout(LayoutKind.Auto)]
    public readonly record struct State(int Front, bool FrontMovesDown, long PassFirstSweep, int Passed);

    /// <summary>Columns as they were; only those that are saved have a meaning.</summary>
    public TraceColumns Columns { get; } = new(columnCount, domains);

    /// <summary>The state at <see cref="Open"/>.</summary>
    public State Before { get; private set; }

    /// <summary>A sweep is under way.</summary>
    public bool IsOpen { get; private set; }

    /// <summary>First column that may be saved.</summary>
    public int First { get; private set; } = int.MaxValue;

    /// <summary>One past the last column that may be saved.</summary>
    public int End { get; private set; }

    public bool IsSaved(int column) => _isSaved[column];

    public void Open(State before)
    {
        Close();
        IsOpen = true;
        Before = before;
    }

    /// <summary>What is changed from now on will not be taken back: it need not be saved.</summary>
    public void Settle() => _isSettled = true;

    public void Save(int column, TraceColumns columns)
    {
        if (!IsOpen || _isSettled || _isSaved[column]) return;
        _isSaved[column] = true;
        Columns.Copy(column, columns, column);
        if (column < First) First = column;
        if (column >= End) End = column + 1;
    }

    /// <summary>Columns [first, end) are about to be changed, all but a few between them.</summary>
    public void SaveRange(int first, int end, TraceColumns columns, ReadOnlySpan<int> butFor)
    {
        if (!IsOpen || _isSettled) return;
        Span<bool> were = stackalloc bool[butFor.Length];
        for (int i = 0; i < were.Length; i++) were[i] = _isSaved[butFor[i]];
        SaveRange(first, end, columns);
        for (int i = 0; i < were.Length; i++) _isSaved[butFor[i]] = were[i];
    }

    private void SaveRange(int first, int end, TraceColumns columns)
    {
        for (int c = first; c < end;)
        {
            int next = c + 1;
            if (_isSaved[c])
            {
                c = next;
                continue;
            }

            int unsaved = _isSaved.AsSpan(next, end - next).IndexOf(true);
            next = unsaved < 0 ? end : next + unsaved;
            Array.Fill(_isSaved, true, c, next - c);
            Columns.CopyRange(c, next, columns);
            c = next;
        }

        if (first < First) First = first;
        if (end > End) End = end;
    }

    public void Close()
    {
        if (End > First) Array.Clear(_isSaved, First, End - First);
        First = int.MaxValue;
        End = 0;
        IsOpen = false;
        _isSettled = false;
    }
}
