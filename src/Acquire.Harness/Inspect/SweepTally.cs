using Acquire.Columns;
using Acquire.Sweeps;

namespace Acquire.Harness.Inspect;

/// <summary>What is kept of all sweeps: the first ones as they are, of the others only sums and the very last ones.</summary>
/// <param name="mostKept">Sweeps kept as they are.</param>
internal sealed class SweepTally(int mostKept) : ISweepSink
{
    /// <summary>Sweeps shown at the end of a shortened list.</summary>
    public const int LastShown = 3;

    private readonly List<SweepRow> _first = [];
    private readonly Queue<SweepRow> _last = new();
    private readonly long[] _byEnd = new long[5];
    private readonly long[] _firstByEnd = [-1, -1, -1, -1, -1];
    private ColumnAxis? _axis;

    /// <summary>The first sweeps, in order.</summary>
    public IReadOnlyList<SweepRow> First => _first;

    /// <summary>The last sweeps, in order; they may be among the first ones.</summary>
    public IReadOnlyCollection<SweepRow> Last => _last;

    /// <summary>Sweeps, complete or not.</summary>
    public long Count { get; private set; }

    /// <summary>Complete sweeps.</summary>
    public long Complete { get; private set; }

    /// <summary>Sweeps from a start to a retrace that did not reach both edges.</summary>
    public long ShortOfEdges { get; private set; }

    /// <summary>Sweeps whose codes fall.</summary>
    public long Falling { get; private set; }

    /// <summary>Scans in columns of complete sweeps.</summary>
    public long ScansInColumns { get; private set; }

    /// <summary>Filled columns of complete sweeps.</summary>
    public long ColumnsFilled { get; private set; }

    /// <summary>Complete sweeps with unfilled columns that no gap and no video delay explains.</summary>
    public long SweepsWithUnfilled { get; private set; }

    /// <summary>Unfilled columns of the sweep with most of them.</summary>
    public int MostUnfilled { get; private set; }

    /// <summary>Start of the first complete sweep with unfilled columns; -1 where there is none.</summary>
    public long FirstWithUnfilled { get; private set; } = -1;

    /// <summary>Scans in columns of the complete sweeps with unfilled columns.</summary>
    public long ScansInUnfilled { get; private set; }

    /// <summary>Start of the first sweep whose edges moved; -1 where there is none.</summary>
    public long FirstWithMovedEdges { get; private set; } = -1;

    /// <summary>Sweeps that ended for a reason.</summary>
    public long Ended(SweepEnd reason) => _byEnd[(int)reason];

    /// <summary>Start of the first sweep that ended for a reason; -1 where there is none.</summary>
    public long FirstEnded(SweepEnd reason) => _firstByEnd[(int)reason];

    /// <inheritdoc/>
    public void SweepEnded(in SweepView sweep)
    {
        SweepInfo info = sweep.Info;
        SweepRow row = new(info, Filled(sweep));
        if (_first.Count < mostKept) _first.Add(row);
        _last.Enqueue(row);
        if (_last.Count > LastShown) _last.Dequeue();

        Count++;
        if (_byEnd[(int)info.EndReason]++ == 0) _firstByEnd[(int)info.EndReason] = info.StartScan;
        if (info.Direction == RampDirection.Falling) Falling++;
        if (FirstWithMovedEdges < 0 && Moved(_axis, sweep.Axis)) FirstWithMovedEdges = info.StartScan;
        _axis = sweep.Axis;
        if (!info.Complete)
        {
            if (info is { StartReason: SweepStart.Ramp, EndReason: SweepEnd.Retrace }) ShortOfEdges++;
            return;
        }

        Complete++;
        ScansInColumns += info.ScansInColumns;
        ColumnsFilled += row.ColumnsFilled;
        int unfilled = sweep.Axis.ColumnCount - row.ColumnsFilled - info.DelayTailColumns;
        if (unfilled <= 0) return;
        SweepsWithUnfilled++;
        ScansInUnfilled += info.ScansInColumns;
        MostUnfilled = Math.Max(MostUnfilled, unfilled);
        if (FirstWithUnfilled < 0) FirstWithUnfilled = info.StartScan;
    }

    // A ramp that was learnt anew has an axis of another number, which may lie where the old one lay.
    private static bool Moved(ColumnAxis? before, ColumnAxis now)
    {
        if (before is null || before.Number == now.Number) return false;
        double half = (now.HighCode - now.LowCode) / now.ColumnCount / 2;
        return Math.Abs(now.LowCode - before.LowCode) > half || Math.Abs(now.HighCode - before.HighCode) > half;
    }

    /// <summary>Columns with at least one scan, of the first vertical.</summary>
    public static int Filled(in SweepView sweep)
    {
        if (sweep.Verticals.Length == 0) return 0;
        ReadOnlySpan<long> counts = sweep.Verticals[0].Counts;
        int filled = 0;
        foreach (long count in counts)
            if (count > 0) filled++;
        return filled;
    }
}
