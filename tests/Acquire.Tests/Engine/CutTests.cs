using Acquire.Capture;
using Acquire.Columns;
using Acquire.Scales;
using Acquire.Sources.Synthetic;
using Acquire.Sweeps;

namespace Acquire.Tests.Engine;

/// <summary>What is published after k scans depends on these scans, never on how they were cut into calls.</summary>
public class CutTests
{
    private const int Near = 70;

    public static TheoryData<BenchKind> Kinds => [.. Enum.GetValues<BenchKind>().Where(k => k != BenchKind.Slow)];

    [Theory]
    [MemberData(nameof(Kinds))]
    public void Traces_EveryKindRandomCuts_AreTheSameBits(BenchKind kind)
    {
        foreach (ulong seed in Seeds.Of(2))
        {
            var random = new Random(((int)kind * 1_000) + (int)seed);
            Case @case = Case.Of(BenchKinds.Draw(kind, seed) with { Scans = 8_000 }, random);
            int[] places = [.. Enumerable.Range(0, 12).Select(_ => random.Next(1, @case.Stream.Scans)).Append(@case.Stream.Scans).Distinct().Order()];
            ulong[] whole = @case.HashesAt(places, () => int.MaxValue, out SweepRecord expected);

            foreach (int most in (int[])[1, random.Next(2, 3_000)])
            {
                ulong[] cut = @case.HashesAt(places, () => most == 1 ? 1 : random.Next(1, most), out SweepRecord sweeps);
                for (int i = 0; i < places.Length; i++)
                    Assert.True(whole[i] == cut[i], $"{kind}, seed {seed}, {@case}: cut in pieces of up to {most}, the traces differ after {places[i]} scans.");
                AssertSame(expected, sweeps, $"{kind}, seed {seed}, {@case}, pieces of up to {most}");
            }
        }
    }

    [Theory]
    [InlineData(BenchKind.Rising, Placement.Direct)]
    [InlineData(BenchKind.Falling, Placement.Fitted)]
    [InlineData(BenchKind.BothWays, Placement.Fitted)]
    [InlineData(BenchKind.Noise, Placement.Direct)]
    [InlineData(BenchKind.Gaps, Placement.Fitted)]
    [InlineData(BenchKind.BlankingChannel, Placement.Direct)]
    [InlineData(BenchKind.Fast, Placement.Direct)]
    public void Traces_OneCutAtEveryPlaceNearTheTurningPoints_AreTheSameBits(BenchKind kind, Placement placement)
    {
        var random = new Random((int)kind);
        SyntheticOptions drawn = BenchKinds.Draw(kind, 1);
        SyntheticOptions options = drawn with { Scans = 1_600, Sweep = drawn.Sweep with { SweepScans = Math.Min(drawn.Sweep.SweepScans, 350) } };
        Case @case = Case.Of(options, random, placement, learns: false);
        bool[] near = new bool[@case.Stream.Scans + 1];
        foreach (TrueSweep sweep in @case.Stream.Truth!.Sweeps)
        {
            foreach (long turn in (long[])[sweep.StartScan, sweep.EndScan])
                for (long i = Math.Max(1, turn - Near); i <= Math.Min(@case.Stream.Scans, turn + Near); i++) near[i] = true;
        }

        int[] places = [.. Enumerable.Range(0, near.Length).Where(i => near[i])];
        Assert.True(places.Length > 3 * Near);
        ulong[] scanByScan = @case.HashesAt(places, () => 1, out SweepRecord expected);

        for (int i = 0; i < places.Length; i++)
        {
            var sweeps = new SweepRecord(keepsColumns: false);
            SweepEngine engine = @case.NewEngine(sweeps);
            @case.Stream.Feed(engine, 0, places[i]);
            Assert.True(scanByScan[i] == StateHash.Of(engine), $"{kind}, {@case}: in one call, the traces differ after {places[i]} scans.");
            @case.Stream.Feed(engine, places[i], @case.Stream.Scans);
            @case.Stream.Complete(engine);
            AssertSame(expected, sweeps, $"{kind}, {@case}, cut at {places[i]}");
        }
    }

    // Sweeps longer than the history are followed before their ends are known.
    [Theory]
    [InlineData(true, 1 << 16)]
    [InlineData(false, 1 << 16)]
    [InlineData(true, 1 << 12)]
    [InlineData(false, 1 << 12)]
    public void Traces_SweepsLongerThanTheHistory_AreTheSameBits(bool learns, int history)
    {
        SyntheticOptions drawn = BenchKinds.Draw(BenchKind.Rising, 3);
        SyntheticOptions options = drawn with { Scans = 500_000, Sweep = drawn.Sweep with { SweepScans = 150_000 } };
        Case @case = Case.Of(options, new Random(3), learns: learns) with { History = history };
        int[] places = [.. Enumerable.Range(1, 99).Select(i => i * 5_000)];
        ulong[] whole = @case.HashesAt(places, () => int.MaxValue, out SweepRecord expected);

        ulong[] cut = @case.HashesAt(places, () => 371, out SweepRecord sweeps);

        Assert.Equal(whole, cut);
        Assert.True(sweeps.Sweeps.Count >= 3);
        AssertSame(expected, sweeps, @case.ToString());
    }

    // The accounts go with the traces.
    [Fact]
    public void Accounting_OneCallOrScanByScan_IsTheSameAtTheEnd()
    {
        foreach (BenchKind kind in (BenchKind[])[BenchKind.Rising, BenchKind.Aborts, BenchKind.Breaks])
        {
            Case @case = Case.Of(BenchKinds.Draw(kind, 5) with { Scans = 8_000 }, new Random(5));
            SweepEngine one = @case.NewEngine(new SweepRecord()), many = @case.NewEngine(new SweepRecord());

            @case.Stream.FeedAll(one);
            @case.Stream.Feed(many, 0, @case.Stream.Scans, () => 1);
            @case.Stream.Complete(many);

            Assert.Equal(one.Accounting, many.Accounting);
            Assert.Equal(one.Ramp, many.Ramp);
        }
    }

    private static void AssertSame(SweepRecord expected, SweepRecord actual, string where)
    {
        Assert.True(expected.Sweeps.Count == actual.Sweeps.Count, $"{where}: {actual.Sweeps.Count} sweeps, not {expected.Sweeps.Count}.");
        for (int i = 0; i < expected.Sweeps.Count; i++)
        {
            Assert.Equal(expected.Sweeps[i].Info, actual.Sweeps[i].Info);
            Assert.Equal(expected.Sweeps[i].Axis, actual.Sweeps[i].Axis);
            Assert.True(expected.Sweeps[i].Hash == actual.Sweeps[i].Hash, $"{where}: the columns of sweep {i} differ.");
        }
    }

    /// <summary>One stream and one setup, drawn at random.</summary>
    private sealed record Case(ScanStream Stream, Setup Setup)
    {
        public int History { get; init; } = Engines.HistoryFor(Stream);

        public static Case Of(SyntheticOptions options, Random random, Placement? placement = null, bool? learns = null)
        {
            // 2, 3 and 8 channels; the blanking benches choose their own.
            if (options.Roles.Count == 2)
            {
                options = random.Next(3) switch
                {
                    0 => options,
                    1 => options with { Roles = [ChannelRole.Vertical, ChannelRole.Ramp, ChannelRole.Auxiliary] },
                    _ => options with
                    {
                        Roles =
                        [
                            ChannelRole.Auxiliary, ChannelRole.Vertical, ChannelRole.Ramp, ChannelRole.Vertical,
                            ChannelRole.Auxiliary, ChannelRole.Blanking, ChannelRole.Vertical, ChannelRole.Auxiliary,
                        ],
                        Blanking = options.Blanking with { LeadScans = random.Next(3) switch { 0 => 0, 1 => random.Next(20), _ => -random.Next(300) } },
                    },
                };
            }

            Setup setup = Engines.SetupFor(
                options, learns ?? random.Next(2) == 0, random.Next(2, 150), placement ?? (random.Next(2) == 0 ? Placement.Direct : Placement.Fitted));
            setup = setup with
            {
                Columns = setup.Columns with
                {
                    SkewScans = random.Next(3) switch { 0 => 0, 1 => 1, _ => random.NextDouble() },
                    VideoDelaySeconds = random.Next(2) == 0 ? 0 : random.NextDouble() * 20 / options.ScanRateHz,
                    Domains = random.Next(2) == 0 ? [] : [AveragingDomain.Level, AveragingDomain.Power],
                    FillOverSweeps = random.Next(3),
                },
            };
            return new Case(ScanStream.Of(options), setup);
        }

        public SweepEngine NewEngine(ISweepSink sink) => new(Setup, sink, History);

        /// <summary>Hashes after so many scans, fed in pieces whose lengths come from a function, with a cut at each place.</summary>
        public ulong[] HashesAt(int[] places, Func<int> lengthOfNext, out SweepRecord sweeps)
        {
            sweeps = new SweepRecord(keepsColumns: false);
            SweepEngine engine = NewEngine(sweeps);
            ulong[] hashes = new ulong[places.Length];
            int from = 0;
            for (int i = 0; i < places.Length; i++)
            {
                Stream.Feed(engine, from, places[i], () => Math.Min(lengthOfNext(), Stream.Scans));
                from = places[i];
                hashes[i] = StateHash.Of(engine);
            }

            Stream.Feed(engine, from, Stream.Scans, () => Math.Min(lengthOfNext(), Stream.Scans));
            Stream.Complete(engine);
            return hashes;
        }

        public override string ToString() =>
            $"{Setup.Columns.ColumnCount} columns, {Setup.Columns.Placement}, skew {Setup.Columns.SkewScans}, delay {Setup.Columns.VideoDelaySeconds}, " +
            $"fill over {Setup.Columns.FillOverSweeps}, edges {(Setup.Sweep.Edges is null ? "learnt" : "given")}, {Stream.Channels} channels";
    }
}
