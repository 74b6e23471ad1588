using Acquire.Columns;
using Acquire.Scales;
using Acquire.Traces;

namespace Acquire.Tests.Doubles;

/// <summary>A trace that a test moves on by hand; codes of 12 bits, up the screen.</summary>
internal sealed class TraceBench(int columns, int fillOverSweeps = 0)
{
    private readonly ColumnStatistics _one = new(1, []);
    private long _position;

    public Trace Trace { get; } = new(columns, [], fillOverSweeps);

    public ColumnValues Values { get; } = new(new VerticalConverter(new VerticalScale(), 4_095));

    public long Sweep { get; set; }

    /// <summary>Marks of the columns that are published from now on.</summary>
    public ColumnMarks Marks { get; set; }

    public void Begin(bool movesDown = false) => Trace.BeginSweep(Sweep, movesDown);

    public void Publish(int column, params ReadOnlySpan<ushort> codes)
    {
        _one.Clear();
        foreach (ushort code in codes) _one.Add(0, code, []);
        _position += codes.Length;
        Trace.PublishColumn(column, _one, 0, Sweep, _position, Marks);
    }

    /// <summary>One whole sweep upwards; a column for which there is no code stays without scans.</summary>
    public void WholeSweep(Func<int, ushort?> codeOf)
    {
        Begin();
        Pass(0, columns, codeOf);
        End(reachedEnd: true);
    }

    /// <summary>Moves the front over columns, upwards.</summary>
    public void Pass(int first, int end, Func<int, ushort?> codeOf)
    {
        for (int c = first; c < end; c++)
        {
            Trace.AdvanceFront(c);
            if (codeOf(c) is { } code) Publish(c, code);
        }

        Trace.EndPublish();
    }

    public void End(bool reachedEnd)
    {
        Trace.EndSweep(reachedEnd);
        Trace.EndPublish();
        Sweep++;
    }
}
