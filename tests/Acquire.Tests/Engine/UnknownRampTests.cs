using Acquire.Capture;
using Acquire.Columns;
using Acquire.Sources.Synthetic;
using Acquire.Sweeps;
using Acquire.Traces;

namespace Acquire.Tests.Engine;

/// <summary>The picture stays and grows while nobody knows the ramp yet: a sweep may last a minute, and the first two go by before it is found.</summary>
public class UnknownRampTests
{
    private const int Columns = 100, SweepScans = 900, RestScans = 100, PeriodScans = SweepScans + RestScans, KnownSweeps = 6, Low = 200, High = 3_800;

    // Without a ramp the converter's range is the screen: 40.95 codes to a column, 4 codes to a scan.
    private const double ColumnCodes = 40.95;

    // A leg is one when the ramp has moved by a 25th of the way that it was seen to go.
    private const int ScansUntilALegIsSeen = 40;

    // Two columns at a leg's ends hold scans of rest and of flyback.
    private const int DoubtfulColumns = 2;

    private static Setup SetupFor(RampDirection direction = RampDirection.Auto) => new()
    {
        Sweep = new SweepOptions { Direction = direction },
        Columns = new ColumnOptions { ColumnCount = Columns, Placement = Placement.Direct },
    };

    private static SweepEngine NewEngine(RampDirection direction = RampDirection.Auto) => new(SetupFor(direction), new SweepRecord(), 1 << 13);

    private static int CodeAt(int scanOfSweep) => Low + ((High - Low) * scanOfSweep / (SweepScans - 1));

    private static ushort Reading(int sweep) => (ushort)(1_000 + (100 * sweep));

    /// <summary>Sweeps whose readings say which they are; the beam rests at its start edge.</summary>
    private static ScanStream Sweeps(int count, bool falls = false, int from = 0)
    {
        var stream = new ScanStream(new ScanFormat());
        for (int scan = from; scan < count * PeriodScans; scan++)
        {
            int of = scan % PeriodScans, code = of < SweepScans ? CodeAt(of) : Low;
            stream.Add((ushort)(falls ? 4_095 - code : code), of < SweepScans ? Reading(scan / PeriodScans) : (ushort)3_000);
        }

        return stream;
    }

    /// <summary>Columns from one to before another hold a sweep's reading, and say that nobody has judged it.</summary>
    private static void AssertHolds(Trace trace, int from, int end, int sweep, long number)
    {
        for (int c = from; c < end; c++)
        {
            Assert.True(trace.SweepNumbers[c] == number, $"Column {c} is of sweep {trace.SweepNumbers[c]}, not of {number}.");
            Assert.Equal(Reading(sweep), trace.Columns.LastCodes[c]);
            Assert.Equal(ColumnMarks.Provisional, trace.Marks[c]);
        }
    }

    [Theory]
    [InlineData(false, RampDirection.Auto)]
    [InlineData(true, RampDirection.Auto)]
    [InlineData(false, RampDirection.Rising)]
    [InlineData(true, RampDirection.Falling)]
    public void Picture_DuringTheSecondSweep_StandsBesideWhatIsLeftOfTheFirst(bool falls, RampDirection direction)
    {
        ScanStream stream = Sweeps(3, falls);
        SweepEngine engine = NewEngine(direction);
        Trace trace = engine.Traces[0];
        // The same columns whichever way the codes go: column 0 is where the beam begins.
        int first = (int)(Low / ColumnCodes) + DoubtfulColumns, end = (int)(High / ColumnCodes) - DoubtfulColumns;

        stream.Feed(engine, 0, SweepScans / 2);
        int front = (int)(CodeAt(SweepScans / 2) / ColumnCodes);
        Assert.Equal(0, trace.SweepNumber);
        Assert.InRange(trace.Front, front - 1, front);
        AssertHolds(trace, first, trace.Front, sweep: 0, number: 0);

        // In the rest the whole of it stands.
        stream.Feed(engine, SweepScans / 2, SweepScans + (RestScans / 2));
        AssertHolds(trace, first, end, sweep: 0, number: 0);
        Assert.Equal(-1, trace.SweepNumber);

        int fed = SweepScans + (RestScans / 2);
        for (int at = ScansUntilALegIsSeen; at < SweepScans; at += 97)
        {
            stream.Feed(engine, fed, PeriodScans + at);
            fed = PeriodScans + at;
            Assert.False(engine.Ramp.Present);
            Assert.Equal(1, trace.SweepNumber);
            front = (int)(CodeAt(at) / ColumnCodes);
            Assert.InRange(trace.Front, front - 1, front);
            Assert.False(trace.FrontMovesDown);
            AssertHolds(trace, first, Math.Min(trace.Front, end), sweep: 1, number: 1);
            AssertHolds(trace, trace.Front + 1, end, sweep: 0, number: 0);
        }

        stream.Feed(engine, fed, stream.Scans);
        engine.Complete();

        Assert.All(trace.Marks.ToArray(), m => Assert.Equal(ColumnMarks.None, m));
        Assert.All(trace.SweepNumbers.ToArray(), n => Assert.Equal(2, n));
        Assert.All(trace.Columns.HighestCodes.ToArray(), h => Assert.Equal(Reading(2), h));
    }

    // What goes the other way for 100 scans was taken for the sweep; the 900 are the slower, which shows before they are over.
    [Theory]
    [InlineData(false)]
    [InlineData(true)]
    public void Picture_StreamThatBeginsInTheFlyback_GrowsOnceTheSweepIsSeenToBeTheSlowerLeg(bool falls)
    {
        const int FlybackScans = 100, Shown = SweepScans / 2;
        ushort Ramp(int code) => (ushort)(falls ? 4_095 - code : code);
        var stream = new ScanStream(new ScanFormat());
        void FlyBack()
        {
            for (int i = 0; i < FlybackScans; i++) stream.Add(Ramp(High - ((High - Low) * i / FlybackScans)), 500);
        }

        FlyBack();
        for (int i = 0; i < SweepScans; i++) stream.Add(Ramp(CodeAt(i)), Reading(0));
        FlyBack();
        SweepEngine engine = NewEngine();
        Trace trace = engine.Traces[0];
        int first = (int)(Low / ColumnCodes) + DoubtfulColumns;

        stream.Feed(engine, 0, FlybackScans + Shown);
        int front = (int)(CodeAt(Shown) / ColumnCodes);
        Assert.InRange(trace.Front, front - 1, front);
        AssertHolds(trace, first, trace.Front, sweep: 0, number: 0);
        for (int c = front + 1; c < Columns; c++) Assert.Equal(0, trace.Columns.Counts[c]);

        stream.Feed(engine, FlybackScans + Shown, stream.Scans);
        Assert.False(engine.Ramp.Present);
        Assert.Equal(falls, engine.Axis.StartsHigh);
        AssertHolds(trace, first, (int)(High / ColumnCodes) - DoubtfulColumns, sweep: 0, number: 0);
    }

    [Fact]
    public void Picture_ScansLostOnTheWay_KeepsWhatWasDrawnBeforeThem()
    {
        const int LostAt = 400, LostScans = 100, Seen = 700;
        ScanStream all = Sweeps(1);
        SweepEngine engine = NewEngine();
        Trace trace = engine.Traces[0];

        engine.Process(all.Words(0, LostAt));
        engine.Skip(LostScans, GapCause.Link);
        engine.Process(all.Words(LostAt + LostScans, Seen));

        int before = (int)(CodeAt(LostAt) / ColumnCodes), behind = (int)(CodeAt(LostAt + LostScans) / ColumnCodes);
        AssertHolds(trace, (int)(Low / ColumnCodes) + DoubtfulColumns, before, sweep: 0, number: 0);
        AssertHolds(trace, behind + 1, trace.Front, sweep: 0, number: 1);
        for (int c = before + 1; c < behind; c++) Assert.Equal(0, trace.Columns.Counts[c]);
    }

    // A ramp that was known and is no more: what ended before stays until it is drawn over, numbers go on, and what was drawn meanwhile goes.
    [Fact]
    public void Picture_RampThatWandersAndComesBack_GoesOnBesideTheSweepsBefore()
    {
        ScanStream stream = Wandering();
        var sweeps = new SweepRecord();
        var engine = new SweepEngine(SetupFor(), sweeps, 1 << 13);
        Trace trace = engine.Traces[0];
        int looksWhileUnknown = 0;
        for (int fed = 0; fed < stream.Scans; fed += 50)
        {
            stream.Feed(engine, fed, Math.Min(stream.Scans, fed + 50));
            long ended = sweeps.Sweeps.Count, newest = trace.SweepNumbers.ToArray().Max();
            if (newest > ended) looksWhileUnknown++;
            Assert.True(trace.SweepNumber < 0 || trace.SweepNumber >= Math.Max(ended, newest));
            for (int c = 0; c < Columns; c++)
                Assert.True(trace.SweepNumbers[c] < ended || trace.SweepNumbers[c] == ended || (trace.Marks[c] & ColumnMarks.Provisional) != 0);
        }

        Assert.True(looksWhileUnknown > 100, $"The ramp was unknown in {looksWhileUnknown} looks.");
        engine.Complete();
        Assert.All(trace.SweepNumbers.ToArray(), n => Assert.Equal(sweeps.Sweeps.Count - 1, n));
        Assert.All(trace.Columns.LastCodes.ToArray(), last => Assert.Equal(Reading(KnownSweeps - 1), last));
        Assert.All(trace.Marks.ToArray(), m => Assert.Equal(ColumnMarks.None, m));
    }

    // What was in doubt when a ramp was given up, and at which call's end it was shown, leaves nothing behind.
    [Fact]
    public void Picture_RampThatWanders_IsTheSameHoweverItIsCut()
    {
        const int Looks = 60;
        ScanStream stream = Wandering();
        SweepEngine whole = NewEngine(), singly = NewEngine(), pieces = NewEngine();
        var random = new Random(7);
        for (int look = 0; look < Looks; look++)
        {
            int from = (int)((long)stream.Scans * look / Looks), to = (int)((long)stream.Scans * (look + 1) / Looks);
            stream.Feed(whole, from, to);
            stream.Feed(singly, from, to, () => 1);
            stream.Feed(pieces, from, to, () => random.Next(1, 200));
            Assert.Equal(StateHash.Of(whole), StateHash.Of(singly));
            Assert.Equal(StateHash.Of(whole), StateHash.Of(pieces));
        }
    }

    /// <summary>Sweeps, a walk for as long as forty of them, and the same sweeps again.</summary>
    private static ScanStream Wandering()
    {
        ScanStream stream = Sweeps(KnownSweeps);
        var random = new Random(5);
        int code = 2_000;
        for (int i = 0; i < 40 * PeriodScans; i++)
        {
            code = Math.Clamp(code + random.Next(-120, 121), 100, 4_000);
            stream.Add((ushort)code, 500);
        }

        for (int scan = 0; scan < KnownSweeps * PeriodScans; scan++) stream.Add(stream.Words(scan, scan + 1));
        return stream;
    }

    // The picture of the first sweep may be drawn over, but it does not shrink: columns that noise leaves out are the tenth.
    [Theory]
    [InlineData(BenchKind.Rising)]
    [InlineData(BenchKind.Falling)]
    [InlineData(BenchKind.Noise)]
    [InlineData(BenchKind.Hum)]
    [InlineData(BenchKind.NoRest)]
    [InlineData(BenchKind.LongRest)]
    [InlineData(BenchKind.HalfSweepRetrace)]
    [InlineData(BenchKind.BothWays)]
    public void Picture_EveryKindOnceASweepWasDrawn_NeverShrinks(BenchKind kind)
    {
        int looks = 0;
        foreach (ulong seed in Seeds.Of(6))
        {
            SyntheticOptions options = BenchKinds.Draw(kind, seed);
            options = options with { Scans = Math.Min(options.Scans ?? long.MaxValue, 60_000) };
            if (options.Sweep.SweepScans < 200) continue;
            ScanStream stream = ScanStream.Of(options);
            SweepEngine engine = Engines.For(options, learns: true, Engines.HistoryFor(stream), 50, Placement.Direct, new SweepRecord(keepsColumns: false));
            if (stream.Truth!.Sweeps.FirstOrDefault(s => s.Complete) is not { } sweep) continue;
            int fed = (int)Math.Min(sweep.EndScan, stream.Scans);
            stream.Feed(engine, 0, fed);
            if (engine.Ramp.Present) continue;
            int drawn = FilledOf(engine.Traces[0]);
            while (fed < stream.Scans && !engine.Ramp.Present)
            {
                int next = Math.Min(stream.Scans, fed + Math.Max(1, (int)options.Sweep.SweepScans / 40));
                stream.Feed(engine, fed, next);
                fed = next;
                int filled = FilledOf(engine.Traces[0]);
                looks++;
                Assert.True(engine.Ramp.Present || filled >= 0.9 * drawn, $"{kind}, seed {seed}: {filled} columns of {drawn} after {fed} scans.");
            }
        }

        Assert.True(looks > 20, $"{kind}: {looks} looks.");
    }

    private static int FilledOf(Trace trace) => trace.Columns.Counts.ToArray().Count(count => count > 0);
}
