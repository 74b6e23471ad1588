using System.Numerics;
using Acquire.Columns;
using Acquire.Sources.Synthetic;

namespace Acquire.Tests.Engine;

/// <summary>Builds engines for synthetic benches.</summary>
internal static class Engines
{
    /// <summary>A history that holds the whole stream.</summary>
    public static int HistoryFor(ScanStream stream) => Math.Max(1 << 12, (int)BitOperations.RoundUpToPowerOf2((uint)stream.Scans + 2));

    public static SweepEngine For(
        SyntheticOptions options, bool learns, int historyScans, int columns, Placement placement = Placement.Fitted, ISweepSink? sink = null) =>
        new(SetupFor(options, learns, columns, placement), sink ?? new SweepRecord(keepsColumns: false), historyScans);

    public static Setup SetupFor(SyntheticOptions options, bool learns, int columns, Placement placement)
    {
        Setup setup = new SyntheticBench(options).SetupFor();
        setup = setup with { Columns = setup.Columns with { ColumnCount = columns, Placement = placement } };
        return learns ? setup with { RampVolts = null, Sweep = setup.Sweep with { Edges = null } } : setup;
    }
}
