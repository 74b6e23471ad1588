using Acquire.Capture;
using Acquire.Columns;
using Acquire.Scales;
using Acquire.Sources.Synthetic;
using Acquire.Sweeps;
using Acquire.Traces;

namespace Acquire.Tests.Engine;

/// <summary>Direct placement on given edges is a plain loop over the scans of a sweep, to the bit.</summary>
public class DirectPlacementTests
{
    public static TheoryData<BenchKind> Kinds => [.. BenchKinds.WithRamp.Except([BenchKind.Slow])];

    [Fact]
    public void Process_TwentyScansOnFourColumns_EachScanGoesToTheColumnOfItsCode()
    {
        // Ramp 0, 5, 10, ... 95 and back at once, vertical 100 + ramp; edges at 10 and 90.
        // codes:   0  5 | 10 .. 25 | 30 .. 45 | 50 .. 65 | 70 .. 90 | 95
        // column:  over |    0     |    1     |    2     |    3     | over
        var setup = new Setup
        {
            Scan = new ScanFormat { Bits = 8 },
            Sweep = new SweepOptions { Edges = new SweepEdges(10, 90), Direction = RampDirection.Rising },
            Columns = new ColumnOptions { ColumnCount = 4, Placement = Placement.Direct },
        };
        var stream = new ScanStream(setup.Scan);
        for (int sweep = 0; sweep < 12; sweep++)
            for (ushort code = 0; code < 100; code += 5) stream.Add(code, (ushort)(100 + code));
        var sweeps = new SweepRecord();

        SweepEngine engine = stream.FeedAll(new SweepEngine(setup, sweeps, 1 << 12));

        Assert.Equal(12, sweeps.Sweeps.Count);
        foreach (SweepRecord.Kept sweep in sweeps.Sweeps)
        {
            ColumnStatistics columns = sweep.Verticals[0];
            Assert.Equal([4, 4, 4, 5], columns.Counts.ToArray());
            Assert.Equal([110, 130, 150, 170], columns.LowestCodes.ToArray().Select(c => (int)c));
            Assert.Equal([125, 145, 165, 190], columns.HighestCodes.ToArray().Select(c => (int)c));
            Assert.Equal([470, 550, 630, 900], columns.CodeSums.ToArray());
        }

        Assert.Equal(12 * 3, engine.Accounting.Overscan);
    }

    [Theory]
    [MemberData(nameof(Kinds))]
    public void Process_EveryKind_EqualsAPlainLoop(BenchKind kind)
    {
        foreach (ulong seed in Seeds.Of(2))
        {
            var random = new Random(((int)kind * 1_000) + (int)seed);
            SyntheticOptions options = BenchKinds.Draw(kind, seed) with { Scans = 12_000, Bits = random.Next(9, 17) };
            if (options.Roles.Contains(ChannelRole.Blanking))
                options = options with { Roles = [ChannelRole.Vertical, ChannelRole.Ramp, ChannelRole.Vertical] };
            ScanStream stream = ScanStream.Of(options);
            Setup setup = Draw(options, random);
            for (int i = random.Next(5); i > 0 && options.Bits < 16; i--)
                stream[random.Next(stream.Scans), random.Next(stream.Channels)] = (ushort)random.Next(setup.Scan.FullCode + 1, 65_536);

            AssertEqualsPlainLoop(stream, setup, random, $"{kind}, seed {seed}, {setup.Columns.ColumnCount} columns");
        }
    }

    // A needle of one scan at every place of a sweep is the peak of its column, and nothing of it is anywhere else.
    [Theory]
    [InlineData(Placement.Direct)]
    [InlineData(Placement.Fitted)]
    public void Process_NeedleOfOneScanAtEveryPlace_IsThePeakOfOneColumn(Placement placement)
    {
        const int SweepScans = 400, Period = 460, First = 40;
        var setup = new Setup
        {
            Columns = new ColumnOptions { ColumnCount = 37, Placement = placement },
            Sweep = new SweepOptions { Edges = new SweepEdges(300, 3_800), Direction = RampDirection.Rising },
        };
        var stream = new ScanStream(setup.Scan);
        for (int sweep = 0; sweep < SweepScans - 10; sweep++)
        {
            for (int i = 0; i < Period; i++)
            {
                int ramp = i < SweepScans ? 300 + (i * 3_500 / (SweepScans - 1)) : Math.Max(300, 3_800 - ((i - SweepScans) * 200));
                // The needle moves on by one scan a sweep.
                stream.Add((ushort)ramp, (ushort)(i == sweep + 5 ? 4_000 : 50));
            }
        }

        var sweeps = new SweepRecord();
        stream.FeedAll(new SweepEngine(setup, sweeps, 1 << 14));

        Assert.Equal(SweepScans - 10, sweeps.Sweeps.Count);
        for (int i = 0; i < sweeps.Sweeps.Count; i++)
        {
            ColumnStatistics columns = sweeps.Sweeps[i].Verticals[0];
            int[] peaks = [.. Enumerable.Range(0, 37).Where(c => columns.Counts[c] > 0 && columns.HighestCodes[c] == 4_000)];
            int column = Assert.Single(peaks);
            int expected = (i + 5) * 37 / SweepScans;
            Assert.InRange(column, expected - 1, expected + 1);
            Assert.Equal(4_000 + ((columns.Counts[column] - 1) * 50), columns.CodeSums[column]);
        }

        Assert.True(SweepScans - 10 - First > 300);
    }

    private static Setup Draw(SyntheticOptions options, Random random)
    {
        Setup setup = Engines.SetupFor(options, learns: false, random.Next(2, 400), Placement.Direct);
        SweepEdges edges = setup.Sweep.Edges!;
        CodeVolts volts = setup.RampVolts!;
        if (random.Next(2) == 0)
        {
            // The same edges in codes, a little inside of the ramp, as somebody would write them.
            decimal perVolt = options.Format.FullCode / (volts.AtFullCode - volts.AtCodeZero);
            decimal low = Math.Round((edges.Low - volts.AtCodeZero) * perVolt, random.Next(4)), high = Math.Round((edges.High - volts.AtCodeZero) * perVolt, random.Next(4));
            setup = setup with { RampVolts = null, Sweep = setup.Sweep with { Edges = new SweepEdges(low, high) } };
        }

        return setup with
        {
            Columns = setup.Columns with
            {
                Domains = random.Next(3) switch { 0 => [], 1 => [AveragingDomain.Power], _ => [AveragingDomain.Level, AveragingDomain.Voltage, AveragingDomain.Power] },
                VideoDelaySeconds = random.Next(2) == 0 ? 0 : random.NextDouble() * 30 / options.ScanRateHz,
            },
        };
    }

    private static void AssertEqualsPlainLoop(ScanStream stream, Setup setup, Random random, string where)
    {
        var loop = new PlainLoop(stream, setup);
        var sweeps = new SweepRecord();
        var engine = new SweepEngine(setup, sweeps, Engines.HistoryFor(stream));
        sweeps.OnSweep = () => AssertTraceShows(engine, sweeps.Sweeps[^1], where);
        stream.Feed(engine, 0, stream.Scans, () => random.Next(1, 900));
        stream.Complete(engine);

        long inColumns = 0, overscan = 0, blanked = 0;
        foreach (SweepRecord.Kept sweep in sweeps.Sweeps)
        {
            for (int v = 0; v < sweep.Verticals.Length; v++)
            {
                DomainTable[] tables = [.. setup.Columns.Domains.Select(d => engine.Verticals[v].Tables[(int)d]!)];
                PlainLoop.Sweep expected = loop.Place(sweep.Info, sweep.Axis.StartsHigh, v, tables);
                string? difference = PlainLoop.Difference(expected, sweep.Verticals[v], setup.Columns.Domains);
                Assert.True(difference is null, $"{where}: sweep {sweep.Info.Number}, vertical {v}: {difference}.");
                Assert.Equal(expected.InColumns, sweep.Info.ScansInColumns);
                if (v > 0) continue;
                inColumns += expected.InColumns;
                overscan += expected.Overscan;
                blanked += expected.Blanked;
            }
        }

        Assert.Equal((inColumns, overscan, blanked), (engine.Accounting.InColumns, engine.Accounting.Overscan, engine.Accounting.Blanked));
    }

    // After a whole sweep the trace is that sweep: what it did not fill is unfilled.
    private static void AssertTraceShows(SweepEngine engine, SweepRecord.Kept sweep, string where)
    {
        if (sweep.Info.StartReason != SweepStart.Ramp || sweep.Info.EndReason != SweepEnd.Retrace) return;
        for (int v = 0; v < engine.Traces.Count; v++)
        {
            Trace trace = engine.Traces[v];
            for (int c = 0; c < trace.ColumnCount; c++)
            {
                bool filled = sweep.Verticals[v].Counts[c] > 0;
                Assert.True(trace.SweepNumbers[c] == (filled ? sweep.Info.Number : -1), $"{where}: column {c} after sweep {sweep.Info.Number} is of {trace.SweepNumbers[c]}.");
                if (filled) Assert.Equal(sweep.Verticals[v].CodeSums[c], trace.Columns.CodeSums[c]);
            }
        }
    }
}
