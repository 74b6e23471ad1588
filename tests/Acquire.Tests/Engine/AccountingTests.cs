using Acquire.Capture;
using Acquire.Columns;
using Acquire.Sources.Synthetic;
using Acquire.Sweeps;

namespace Acquire.Tests.Engine;

/// <summary>Every scan is counted in exactly one class, always.</summary>
public class AccountingTests
{
    public static TheoryData<BenchKind> Kinds => [.. Enum.GetValues<BenchKind>()];

    [Theory]
    [MemberData(nameof(Kinds))]
    public void Accounting_EveryKindAfterEveryCall_AddsUp(BenchKind kind)
    {
        foreach (ulong seed in Seeds.Of(2))
        {
            // Slow ones end inside a sweep, so that the default run stays short.
            SyntheticOptions options = BenchKinds.Draw(kind, seed) with { Scans = 150_000 };
            ScanStream stream = ScanStream.Of(options);
            var random = new Random((int)seed);
            bool learns = seed % 2 == 0;
            SweepEngine engine = Engines.For(options, learns, historyScans: Engines.HistoryFor(stream), columns: 200);
            long lost = 0, breaks = 0;
            int next = 0, cut = 0;
            while (next < stream.Scans)
            {
                int end = Math.Min(stream.Scans, next + random.Next(1, 1 + (stream.Scans / 20)));
                foreach (ScanStream.Loss loss in stream.Losses)
                {
                    if (loss.AtScan < next || loss.AtScan >= end) continue;
                    lost += loss.LostScans;
                    if (loss.LostScans == 0) breaks++;
                }

                stream.Feed(engine, next, end);
                next = end;
                string where = $"{kind}, seed {seed}, after {++cut} calls and {next} scans";
                AssertAddsUp(engine.Accounting, where);
                Assert.Equal((next, lost, breaks), (engine.Accounting.Scans, engine.Accounting.Lost, engine.Accounting.Breaks));
            }

            stream.Complete(engine);
            Accounting account = engine.Accounting;
            AssertAddsUp(account, $"{kind}, seed {seed}, at the end");
            Assert.Equal(stream.Truth!.Scans + stream.Truth.Lost, account.Scans + account.Lost);
            if (engine.Ramp.Present) Assert.True(account.Unassigned == 0, $"{kind}, seed {seed}: {account.Unassigned} of {account.Scans} scans are unassigned.");
            else Assert.Equal(0, account.InColumns + account.Overscan + account.Blanked);
        }
    }

    // What left the history and the blocks before it until a ramp was found stays unassigned; nothing else does.
    [Fact]
    public void Accounting_RampComesLongAfterTheBegin_OnlyWhatIsForgottenStaysUnassigned()
    {
        const int History = 1 << 12, Idle = 1_200_000;
        int remembered = RampPast.Blocks * RampPast.ScansOf(History);
        var stream = new ScanStream(new ScanFormat());
        for (int i = 0; i < Idle; i++) stream.Add(500, 7);
        for (int i = 0; i < 20_000; i++) stream.Add((ushort)(i % 1_000 < 900 ? 500 + (i % 1_000 * 3) : 500), 9);
        var sweeps = new SweepRecord();
        var engine = new SweepEngine(new Setup(), sweeps, History);
        long beforeLock = 0;

        stream.Feed(engine, 0, stream.Scans, () => 97, () =>
        {
            AssertAddsUp(engine.Accounting, $"after {engine.Accounting.Scans} scans");
            if (!engine.Ramp.Present) beforeLock = engine.Accounting.Scans;
        });
        engine.Complete();

        Assert.Equal(20, sweeps.Sweeps.Count);
        Assert.InRange(engine.Accounting.Unassigned, Idle - remembered - History, beforeLock - remembered);
    }

    // A ramp that stops half way is in doubt, pause or abort, until it moves again; here that is longer than the history.
    [Theory]
    [InlineData(true, 3_000)]
    [InlineData(true, 40_000)]
    [InlineData(false, 3_000)]
    [InlineData(false, 40_000)]
    public void Accounting_DoubtLongerThanTheHistory_AddsUpAndLeaksNothing(bool goesOn, int standing)
    {
        var stream = new ScanStream(new ScanFormat());
        for (int i = 0; i < 4; i++) AddSweep(1_000, 0);
        AddSweep(500, standing);
        for (int i = 0; i < 3; i++) AddSweep(1_000, 0);
        var sweeps = new SweepRecord();
        var engine = new SweepEngine(new Setup { Columns = new ColumnOptions { ColumnCount = 50 } }, sweeps, 1 << 12);

        stream.Feed(engine, 0, stream.Scans, () => 97, () => AssertAddsUp(engine.Accounting, $"after {engine.Accounting.Scans} scans"));
        engine.Complete();

        AssertAddsUp(engine.Accounting, "at the end");
        Assert.Equal(8, sweeps.Sweeps.Count);
        SweepRecord.Kept stopped = sweeps.Sweeps[4];
        Assert.Equal(stopped.Info.ScansInColumns, stopped.Info.EndScan - stopped.Info.StartScan);
        if (goesOn) Assert.Equal(1_000 + standing, stopped.Info.ScansInColumns);
        else Assert.InRange(stopped.Info.ScansInColumns, standing > 1 << 12 ? 460 : 498, 501);

        void AddSweep(int scans, int stands)
        {
            for (int i = 0; i < scans; i++) stream.Add((ushort)(300 + (3 * i)), 10);
            for (int i = 0; i < stands; i++) stream.Add((ushort)(300 + (3 * scans)), 10);
            for (int i = scans; i < 1_000 && goesOn; i++) stream.Add((ushort)(300 + (3 * i)), 10);
            for (int i = 0; i < 100; i++) stream.Add(300, 10);
        }
    }

    [Fact]
    public void Accounting_CodesBeyondTheBits_AreCountedAndExcluded()
    {
        var stream = new ScanStream(new ScanFormat());
        for (int i = 0; i < 5_000; i++) stream.Add((ushort)(i % 1_000 < 900 ? 500 + (i % 1_000 * 3) : 500), 9);
        stream[2_300, 1] = 4_096;
        stream[2_301, 0] = 65_535;
        stream[2_302, 0] = 4_096;
        stream[2_302, 1] = 5_000;
        var sweeps = new SweepRecord();

        SweepEngine engine = stream.FeedAll(new SweepEngine(new Setup { Columns = new ColumnOptions { ColumnCount = 50 } }, sweeps, 1 << 13));

        Assert.Equal(3, engine.Accounting.InvalidCodes);
        Assert.Equal(3, engine.Accounting.Blanked);
        AssertAddsUp(engine.Accounting, "at the end");
        Assert.Equal(5, sweeps.Sweeps.Count);
        foreach (SweepRecord.Kept sweep in sweeps.Sweeps)
            for (int c = 0; c < 50; c++) Assert.True(sweep.Verticals[0].Counts[c] == 0 || sweep.Verticals[0].HighestCodes[c] == 9);
    }

    internal static void AssertAddsUp(Accounting account, string where)
    {
        long sum = account.InColumns + account.Overscan + account.Retrace + account.Rest + account.Blanked + account.Unassigned;
        Assert.True(account.Scans == sum, $"{where}: {account.Scans} scans but the classes hold {sum}: {account}.");
        Assert.True(
            Math.Min(Math.Min(Math.Min(account.InColumns, account.Overscan), Math.Min(account.Retrace, account.Rest)), Math.Min(account.Blanked, account.Unassigned)) >= 0,
            $"{where}: a class is negative: {account}.");
    }
}
