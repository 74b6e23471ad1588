using Acquire.Capture;
using Acquire.Columns;
using Acquire.Sources.Synthetic;
using Acquire.Sweeps;
using Acquire.Traces;

namespace Acquire.Tests.Engine;

/// <summary>The two modes without a ramp that runs by itself: turned by hand, and time.</summary>
public class ModeTests
{
    // 40 columns of 100 codes each from 0 to 4,000.
    private static readonly Setup ByHand = new()
    {
        Sweep = new SweepOptions { Mode = SweepMode.Manual, Edges = new SweepEdges(0, 4_000) },
        Columns = new ColumnOptions { ColumnCount = 40, Placement = Placement.Direct },
    };

    private static readonly Setup ByTime = new()
    {
        Sweep = new SweepOptions { Mode = SweepMode.Time, TimeSpan = 105 },
        Columns = new ColumnOptions { ColumnCount = 10, Placement = Placement.Direct },
    };

    private static void Stand(SweepEngine engine, int ramp, ushort vertical, int scans)
    {
        for (int i = 0; i < scans; i++) engine.Process([(ushort)ramp, vertical]);
    }

    [Fact]
    public void Manual_StandingStill_EveryScanIsInTheColumn()
    {
        var engine = new SweepEngine(ByHand, new SweepRecord(), 1 << 12);

        Stand(engine, 2_050, 700, 10_000);

        Assert.Equal(10_000, engine.Traces[0].Columns.Counts[20]);
        Assert.Equal(20, engine.Traces[0].Front);
        Assert.Equal(10_000, engine.Accounting.InColumns);
    }

    [Fact]
    public void Manual_ComingBack_ReplacesTheColumnAndKeepsTheOthers()
    {
        var engine = new SweepEngine(ByHand, new SweepRecord(), 1 << 12);
        Stand(engine, 2_050, 700, 50);
        for (int ramp = 2_060; ramp <= 3_040; ramp += 10) Stand(engine, ramp, 800, 1);
        Stand(engine, 3_050, 900, 20);
        for (int ramp = 3_040; ramp >= 2_100; ramp -= 10) Stand(engine, ramp, 1_000, 1);
        Stand(engine, 2_050, 1_100, 7);

        // Column 20: the new visit only. Columns 21 to 29: the way back. Column 30: the turn, one visit.
        ColumnStatistics columns = engine.Traces[0].Columns;
        Assert.Equal((7L, 1_100, 1_100), (columns.Counts[20], (int)columns.LowestCodes[20], (int)columns.HighestCodes[20]));
        for (int c = 21; c < 29; c++) Assert.Equal((10L, 1_000, 1_000), (columns.Counts[c], (int)columns.LowestCodes[c], (int)columns.HighestCodes[c]));
        Assert.Equal((800, 1_000), (columns.LowestCodes[30], columns.HighestCodes[30]));
        Assert.Equal(20, engine.Traces[0].Front);
        for (int c = 0; c < 40; c++) Assert.Equal(c is >= 20 and <= 30, columns.Counts[c] > 0);
    }

    // Column 20 is jumped over, and noise may come back from 21: what it holds is of the visit before all the same.
    [Fact]
    public void Manual_JumpingOverAColumnAndComingBackToIt_IsANewVisitOfIt()
    {
        var engine = new SweepEngine(ByHand, new SweepRecord(), 1 << 12);
        for (int column = 5; column < 30; column++) Stand(engine, (column * 100) + 50, 3_000, 5);
        for (int column = 28; column >= 5; column--) Stand(engine, (column * 100) + 50, 1_000, 5);
        foreach (int column in (int[])[21, 20, 19]) Stand(engine, (column * 100) + 50, 500, 5);

        ColumnStatistics columns = engine.Traces[0].Columns;
        for (int c = 6; c < 28; c++) Assert.Equal((5L, c is >= 19 and <= 21 ? 500 : 1_000), (columns.Counts[c], (int)columns.HighestCodes[c]));
    }

    // Eight columns to a code: noise of a code jumps over columns, and still all of it is one visit.
    [Fact]
    public void Manual_NoiseThatJumpsOverColumns_IsNoNewVisit()
    {
        Setup narrow = ByHand with { Sweep = ByHand.Sweep with { Edges = new SweepEdges(2_000, 2_100) }, Columns = ByHand.Columns with { ColumnCount = 800 } };
        var engine = new SweepEngine(narrow, new SweepRecord(), 1 << 12);
        int[] around = [0, 1, -1, 2, 0, -2, 1];

        for (int i = 0; i < 700; i++) Stand(engine, 2_050 + around[i % around.Length], 700, 1);

        long[] counts = engine.Traces[0].Columns.Counts.ToArray();
        Assert.Equal(700, counts.Sum());
        Assert.Equal(5, counts.Count(count => count > 0));
    }

    [Fact]
    public void Manual_VideoDelay_FilesAReadingWhereTheRampWasThen()
    {
        // The vertical lags by ten scans.
        Setup delayed = ByHand with { Scan = new ScanFormat { ScanRateHz = 1_000 }, Columns = ByHand.Columns with { VideoDelaySeconds = 0.01 } };
        var engine = new SweepEngine(delayed, new SweepRecord(), 1 << 12);

        Stand(engine, 2_050, 700, 100);
        Stand(engine, 3_050, 800, 100);

        // The first ten readings belong to a ramp before the stream; the ten after the move to where the ramp was before it.
        ColumnStatistics columns = engine.Traces[0].Columns;
        Assert.Equal((100, 90), (columns.Counts[20], columns.Counts[30]));
        Assert.Equal(190, engine.Accounting.InColumns);
    }

    // Nothing has ended that left columns without readings: by hand and in time the ramp reaches no end.
    [Theory]
    [InlineData(SweepMode.Manual)]
    [InlineData(SweepMode.Time)]
    public void VideoDelay_WithoutARampThatFliesBack_LeavesNoTailAndNothingSettles(SweepMode mode)
    {
        var sweeps = new SweepRecord();
        Setup delayed = ByHand with
        {
            Scan = new ScanFormat { ScanRateHz = 1_000 },
            Sweep = ByHand.Sweep with { Mode = mode, TimeSpan = 0.1 },
            Columns = ByHand.Columns with { VideoDelaySeconds = 0.01 },
        };
        var engine = new SweepEngine(delayed, sweeps, 1 << 12);

        Stand(engine, 2_050, 700, 250);
        engine.Complete();

        Assert.Equal(mode == SweepMode.Manual ? 1 : 3, sweeps.Sweeps.Count);
        Assert.All(sweeps.Sweeps, sweep => Assert.Equal((0, 0), (sweep.Info.DelayTailColumns, sweep.Info.SettlingColumns)));
        Assert.All(engine.Traces[0].Marks.ToArray(), marks => Assert.Equal(ColumnMarks.None, marks));
    }

    [Fact]
    public void Manual_NoiseAcrossABorder_IsNoNewVisit()
    {
        var engine = new SweepEngine(ByHand, new SweepRecord(), 1 << 12);

        for (int i = 0; i < 500; i++) Stand(engine, 2_100 + (i % 2 == 0 ? -2 : 2), 700, 1);

        Assert.Equal((250, 250), (engine.Traces[0].Columns.Counts[20], engine.Traces[0].Columns.Counts[21]));
    }

    [Fact]
    public void Manual_AnyTurning_IsNeverRetraceOrRest()
    {
        foreach (ulong seed in Seeds.Of(3))
        {
            SyntheticOptions options = BenchKinds.Draw(BenchKind.Rising, seed);
            options = options with { Ramp = options.Ramp with { Kind = RampKind.Manual, Overscan = 0.1 }, Sweeps = null, Scans = 20_000 };
            ScanStream stream = ScanStream.Of(options);
            var sweeps = new SweepRecord();
            SweepEngine engine = stream.FeedAll(Engines.For(options, learns: false, 1 << 12, 80, Placement.Direct, sweeps));

            Accounting account = engine.Accounting;
            Assert.Equal((0, 0, 0), (account.Retrace, account.Rest, account.Unassigned));
            Assert.Equal(stream.Scans, account.InColumns + account.Overscan);
            Assert.Equal(SweepEnd.End, Assert.Single(sweeps.Sweeps).Info.EndReason);
        }
    }

    [Fact]
    public void Manual_Gap_EndsTheSweepAndKeepsThePicture()
    {
        var sweeps = new SweepRecord();
        var engine = new SweepEngine(ByHand, sweeps, 1 << 12);
        Stand(engine, 2_050, 700, 5);
        engine.Skip(100, GapCause.Link);
        Stand(engine, 950, 800, 6);
        engine.Break(GapCause.Reset);
        Stand(engine, 3_050, 900, 7);

        Trace trace = engine.Traces[0];
        Assert.Equal((5L, 6L, 7L), (trace.Columns.Counts[20], trace.Columns.Counts[9], trace.Columns.Counts[30]));
        Assert.Equal((0L, 1L, 2L), (trace.SweepNumbers[20], trace.SweepNumbers[9], trace.SweepNumbers[30]));
        Assert.Equal((4L, 110L), (trace.Ages[20], trace.Ages[9]));
        engine.Complete();
        Assert.Equal([SweepEnd.Gap, SweepEnd.Break, SweepEnd.End], sweeps.Sweeps.Select(s => s.Info.EndReason));
        Assert.Equal([SweepStart.Begin, SweepStart.Gap, SweepStart.Break], sweeps.Sweeps.Select(s => s.Info.StartReason));
    }

    [Fact]
    public void Time_PassesOf105ScansOn10Columns_FollowOneAnother()
    {
        // 105 scans on 10 columns: 11 and 10 scans by turns, column of scan i is i x 10 / 105 rounded down.
        var sweeps = new SweepRecord();
        var engine = new SweepEngine(ByTime, sweeps, 1 << 12);
        for (int i = 0; i < 250; i++) engine.Process([9, (ushort)i]);

        Assert.Equal([(0L, 105L), (105L, 210L)], sweeps.Sweeps.Select(s => (s.Info.StartScan, s.Info.EndScan)));
        foreach (SweepRecord.Kept sweep in sweeps.Sweeps)
        {
            Assert.True(sweep.Info.Complete);
            for (int c = 0; c < 10; c++)
            {
                int first = ((c * 105) + 9) / 10, end = (((c + 1) * 105) + 9) / 10;
                Assert.Equal(end - first, sweep.Verticals[0].Counts[c]);
                Assert.Equal(sweep.Info.StartScan + first, sweep.Verticals[0].LowestCodes[c]);
                Assert.Equal(sweep.Info.StartScan + end - 1, sweep.Verticals[0].LastCodes[c]);
            }
        }

        // 40 scans into the third pass: column 3, then what the second pass left.
        Trace trace = engine.Traces[0];
        Assert.Equal(3, trace.Front);
        Assert.Equal([2, 2, 2, 2, 1, 1, 1, 1, 1, 1], trace.SweepNumbers.ToArray());
        Assert.Equal((250L, 0L), (engine.Accounting.InColumns, engine.Accounting.Unassigned));
    }

    [Fact]
    public void Time_SpanInSeconds_FollowsTheScanRate()
    {
        var sweeps = new SweepRecord(keepsColumns: false);
        Setup setup = ByTime with { Scan = new ScanFormat { ScanRateHz = 2_000 }, Sweep = ByTime.Sweep with { TimeSpan = 0.25 } };
        var engine = new SweepEngine(setup, sweeps, 1 << 12);

        engine.Process(new ushort[2 * 1_700]);

        Assert.Equal([500L, 1_000L, 1_500L], sweeps.Sweeps.Select(s => s.Info.EndScan));
    }

    [Fact]
    public void Time_GapAndInvalidCodes_AreNotInColumns()
    {
        var sweeps = new SweepRecord();
        var engine = new SweepEngine(ByTime, sweeps, 1 << 12);
        for (int i = 0; i < 50; i++) engine.Process([9, (ushort)(i == 7 ? 5_000 : i)]);
        engine.Skip(20, GapCause.Overrun);
        for (int i = 0; i < 105; i++) engine.Process([9, 3]);

        Assert.Equal([SweepEnd.Gap, SweepEnd.Retrace], sweeps.Sweeps.Select(s => s.Info.EndReason));
        Assert.Equal([(0L, 50L), (70L, 175L)], sweeps.Sweeps.Select(s => (s.Info.StartPosition, s.Info.EndPosition)));
        Assert.Equal((154L, 1L, 1L), (engine.Accounting.InColumns, engine.Accounting.Blanked, engine.Accounting.InvalidCodes));
        Assert.Equal(10, sweeps.Sweeps[0].Verticals[0].Counts[0]);
    }

    [Theory]
    [InlineData(true)]
    [InlineData(false)]
    public void Time_BlankingCodeBeyondTheBits_SaysWhatTheScanBeforeItSaid(bool highIsBlanked)
    {
        Setup blanked = ByTime with
        {
            Scan = new ScanFormat { Roles = [ChannelRole.Ramp, ChannelRole.Vertical, ChannelRole.Blanking] },
            Sweep = ByTime.Sweep with { Blanking = new() { HighIsBlanked = highIsBlanked, ThresholdCode = 2_000 } },
        };
        var engine = new SweepEngine(blanked, new SweepRecord(), 1 << 12);

        // The beam is off for 40 scans, then on; a code beyond 12 bits in the middle of either.
        for (int i = 0; i < 105; i++)
        {
            ushort level = (ushort)(i < 40 == highIsBlanked ? 4_000 : 100);
            engine.Process([9, 3, i is 20 or 70 ? (ushort)5_000 : level]);
        }

        Assert.Equal((65L, 40L, 2L), (engine.Accounting.InColumns, engine.Accounting.Blanked, engine.Accounting.InvalidCodes));
    }

    // The ramp's input stands far to the right of where the first pass was cut: it says nothing of where the second begins.
    [Fact]
    public void Time_BehindAGap_IsAPassOfItsOwn()
    {
        var engine = new SweepEngine(ByTime, new SweepRecord(), 1 << 12);
        for (int i = 0; i < 50; i++) engine.Process([4_000, (ushort)i]);
        engine.Skip(20, GapCause.Overrun);
        Assert.Equal(4, engine.Traces[0].Front);

        // Nothing is read in columns 1 and 2, which the second pass leaves behind.
        for (int i = 0; i < 35; i++) engine.Process([4_000, (ushort)(i is >= 11 and < 32 ? 5_000 : 7)]);

        Trace trace = engine.Traces[0];
        Assert.Equal(3, trace.Front);
        Assert.Equal([1, -1, -1, 1, 0, -1, -1, -1, -1, -1], trace.SweepNumbers.ToArray());
    }

    // 100 ms at 1,000 scans a second are 100 scans: every tenth of 1,000 columns of 0.1 ms, and nothing between them.
    [Fact]
    public void Time_FewerScansThanColumns_KeepsTheSpanAndLeavesColumnsUnfilled()
    {
        var sweeps = new SweepRecord();
        var engine = new SweepEngine(
            new Setup
            {
                Scan = new ScanFormat { ScanRateHz = 1_000 },
                Sweep = new SweepOptions { Mode = SweepMode.Time, TimeSpan = 0.1 },
                Columns = new ColumnOptions { ColumnCount = 1_000 },
            },
            sweeps, 1 << 12);

        for (int i = 0; i < 250; i++) engine.Process([9, (ushort)i]);

        Assert.Equal([(0L, 100L), (100L, 200L)], sweeps.Sweeps.Select(s => (s.Info.StartScan, s.Info.EndScan)));
        ColumnStatistics columns = sweeps.Sweeps[1].Verticals[0];
        for (int c = 0; c < 1_000; c++) Assert.Equal(c % 10 == 0 ? (1L, 100L + (c / 10)) : (0L, 0L), (columns.Counts[c], columns.CodeSums[c]));
    }

    [Theory]
    [InlineData(SweepMode.Manual)]
    [InlineData(SweepMode.Time)]
    public void Traces_HoweverCut_AreTheSameBits(SweepMode mode)
    {
        var random = new Random(3);
        SyntheticOptions options = BenchKinds.Draw(BenchKind.Gaps, 3) with { Scans = 5_000 };
        ScanStream stream = ScanStream.Of(options);
        Setup setup = Engines.SetupFor(options, learns: false, 60, Placement.Direct);
        setup = setup with { Sweep = setup.Sweep with { Mode = mode, TimeSpan = 0.01 } };
        SweepEngine one = new(setup, new SweepRecord(), 1 << 12), many = new(setup, new SweepRecord(), 1 << 12), scanByScan = new(setup, new SweepRecord(), 1 << 12);
        int from = 0;
        while (from < stream.Scans)
        {
            int to = Math.Min(stream.Scans, from + random.Next(1, 800));
            stream.Feed(one, from, to);
            stream.Feed(many, from, to, () => random.Next(1, 50));
            stream.Feed(scanByScan, from, to, () => 1);
            from = to;

            Assert.Equal(StateHash.Of(one), StateHash.Of(many));
            Assert.Equal(StateHash.Of(one), StateHash.Of(scanByScan));
            AccountingTests.AssertAddsUp(one.Accounting, $"{mode}, after {from} scans");
            Assert.Equal(0, one.Accounting.Unassigned);
        }
    }
}
