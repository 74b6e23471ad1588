using Acquire.Capture;
using Acquire.Columns;
using Acquire.Scales;
using Acquire.Sources.Synthetic;
using Acquire.Sweeps;

namespace Acquire.Tests.Engine;

/// <summary>Scans taken in blocks leave the same bits as scans taken singly, which is the specification.</summary>
public class PathTests
{
    public static TheoryData<BenchKind> Kinds => [.. Enum.GetValues<BenchKind>().Where(k => k != BenchKind.Slow)];

    [Theory]
    [MemberData(nameof(Kinds))]
    public void Blocks_EveryKindRandomCuts_LeaveTheBitsOfSingleScans(BenchKind kind)
    {
        foreach (ulong seed in Seeds.Of(3)) AssertSame(kind, seed);
    }

    // A loss just behind scans that were filed anew, whose readings belong to the ramp half a scan later.
    [Theory]
    [InlineData(BenchKind.Gaps, 6)]
    public void Blocks_OnceWrong_LeaveTheBitsOfSingleScans(BenchKind kind, ulong seed) => AssertSame(kind, seed);

    // Both placements, both ways, edges given and learnt, few and many scans a column: nearly all of it goes in blocks.
    [Theory]
    [InlineData(2, Placement.Direct)]
    [InlineData(2, Placement.Fitted)]
    [InlineData(20, Placement.Direct)]
    [InlineData(20, Placement.Fitted)]
    [InlineData(200, Placement.Direct)]
    [InlineData(200, Placement.Fitted)]
    public void Blocks_LongStreams_LeaveTheBitsOfSingleScans(int scansPerColumn, Placement placement)
    {
        int turn = 0;
        foreach (RampKind ramp in (RampKind[])[RampKind.Rising, RampKind.Falling, RampKind.BothWays])
        {
            double sweep = 1_000 * scansPerColumn;
            SyntheticOptions options = new()
            {
                Seed = 31,
                Scans = Math.Max(60_000, (long)(4.5 * sweep)),
                Sweep = new SweepTiming { SweepScans = sweep, RetraceScans = sweep / 10, RestScans = turn % 2 * sweep / 20 },
                Ramp = new RampModel { Kind = ramp, NoiseCodes = 1.5 },
                Verticals = [new VerticalModel { NoiseCodes = 20, Tones = [new Tone(20_000, -20)] }],
            };
            AssertSame(options, new Random(turn++), $"{ramp}, {scansPerColumn} a column", placement, columns: 1_000);
        }
    }

    // Lines of 4, 8 and 16 scans, and where one length goes over into the next or a window into the next length's multiple.
    [Theory]
    [InlineData(480)]
    [InlineData(610)]
    [InlineData(706)]
    [InlineData(824)]
    [InlineData(940)]
    [InlineData(1_060)]
    [InlineData(1_176)]
    [InlineData(1_411)]
    [InlineData(1_500)]
    public void Blocks_BriefSweeps_LeaveTheBitsOfSingleScans(int sweepScans)
    {
        var random = new Random(sweepScans);
        foreach (RampKind ramp in (RampKind[])[RampKind.Rising, RampKind.Falling, RampKind.BothWays])
            foreach (double noise in (double[])[0, 1.5, 4])
            {
                SyntheticOptions options = new()
                {
                    Seed = (ulong)sweepScans,
                    Scans = 24 * sweepScans,
                    Bits = random.Next(10, 17),
                    Sweep = new SweepTiming { SweepScans = sweepScans, RetraceScans = sweepScans / 10.0, RestScans = random.Next(2) * sweepScans / 20.0 },
                    Ramp = new RampModel { Kind = ramp, NoiseCodes = noise },
                    Verticals = [new VerticalModel { NoiseCodes = 20, Tones = [new Tone(20_000, -20)] }],
                };
                AssertSame(options, random, $"{ramp}, {sweepScans} scans a sweep, noise {noise}");
            }
    }

    // A reading's place is known when the ramp was there: from a scan's part on to a good part of a sweep, which may settle until its end.
    [Theory]
    [InlineData(2, 0.5, 0, Placement.Fitted)]
    [InlineData(2, 0.5, 7.3, Placement.Fitted)]
    [InlineData(20, 1, 300, Placement.Fitted)]
    [InlineData(20, 0, 6_000, Placement.Fitted)]
    [InlineData(60, 0.25, 2_000, Placement.Fitted)]
    [InlineData(2, 0.5, 0, Placement.Direct)]
    [InlineData(20, 1, 300, Placement.Direct)]
    [InlineData(20, 0.25, 7.3, Placement.Direct)]
    public void Blocks_DelayedReadings_LeaveTheBitsOfSingleScans(int scansPerColumn, double skew, double delayScans, Placement placement)
    {
        double sweep = 1_000 * scansPerColumn;
        SyntheticOptions options = new()
        {
            Seed = 8,
            Scans = (long)(4.5 * sweep),
            Sweep = new SweepTiming { SweepScans = sweep, RetraceScans = sweep / 10, RestScans = sweep / 40 },
            Ramp = new RampModel { NoiseCodes = 1.5 },
            Verticals = [new VerticalModel { NoiseCodes = 20, Tones = [new Tone(20_000, -20)] }],
        };
        Setup setup = Engines.SetupFor(options, learns: false, columns: 1_000, placement);
        setup = setup with { Columns = setup.Columns with { SkewScans = skew, VideoDelaySeconds = delayScans / options.ScanRateHz } };
        ScanStream stream = ScanStream.Of(options);

        BothPaths.AssertSame(stream, setup, Engines.HistoryFor(stream), () => 1_000, $"{scansPerColumn} a column, skew {skew}, delay {delayScans} scans");
    }

    private static void AssertSame(BenchKind kind, ulong seed)
    {
        var random = new Random(((int)kind * 1_000) + (int)seed);
        SyntheticOptions drawn = BenchKinds.Draw(kind, seed);
        // Long enough for blocks, and for the noise to be settled.
        double longer = Math.Max(1, random.Next(500, 6_000) / drawn.Sweep.SweepScans);
        SyntheticOptions options = drawn with
        {
            Scans = 40_000,
            Bits = random.Next(3) switch { 0 => drawn.Bits, 1 => random.Next(10, 15), _ => 16 },
            Sweep = drawn.Sweep with
            {
                SweepScans = drawn.Sweep.SweepScans * longer,
                RetraceScans = drawn.Sweep.RetraceScans * longer,
                RestScans = drawn.Sweep.RestScans * longer,
            },
        };
        AssertSame(options, random, $"{kind}, seed {seed}");
    }

    private static void AssertSame(SyntheticOptions options, Random random, string where, Placement? placement = null, int? columns = null)
    {
        if (options.Roles.Count == 2)
        {
            options = random.Next(6) switch
            {
                0 or 1 => options,
                2 => options with { Roles = [ChannelRole.Vertical, ChannelRole.Ramp] },
                3 or 4 => options with
                {
                    Roles = [ChannelRole.Ramp, ChannelRole.Vertical, ChannelRole.Blanking],
                    Blanking = new BlankingModel
                    {
                        HighIsBlanked = random.Next(2) == 0,
                        NoiseCodes = random.Next(3) * 0.02 * ((1 << options.Bits) - 1),
                        LeadScans = random.Next(3) switch { 0 => 0, 1 => random.Next(-10, 10), _ => random.Next(200) },
                    },
                },
                _ => options with { Roles = [ChannelRole.Auxiliary, ChannelRole.Vertical, ChannelRole.Ramp, ChannelRole.Vertical, ChannelRole.Auxiliary] },
            };
        }

        Setup setup = Engines.SetupFor(
            options, random.Next(2) == 0, columns ?? random.Next(2, 1_200), placement ?? (random.Next(2) == 0 ? Placement.Direct : Placement.Fitted));
        if (options.Ramp.Kind == RampKind.BothWays) setup = setup with { Sweep = setup.Sweep with { Direction = RampDirection.Both } };
        setup = setup with
        {
            Columns = setup.Columns with
            {
                Domains = random.Next(3) switch { 0 => [AveragingDomain.Level, AveragingDomain.Power], 1 => [AveragingDomain.Voltage], _ => [] },
                SettleSeconds = random.Next(3) == 0 ? 100 / options.ScanRateHz : null,
                FillOverSweeps = random.Next(2),
                SkewScans = random.Next(3) switch { 0 => 0.5, 1 => random.NextDouble(), _ => 0 },
                VideoDelaySeconds = random.Next(5) switch { 0 => 20 * random.NextDouble(), 1 => 2_000 * random.NextDouble(), 2 => random.Next(40), _ => 0 } / options.ScanRateHz,
            },
        };
        ScanStream stream = ScanStream.Of(options);
        for (int i = random.Next(4); i > 0 && options.Bits < 16; i--)
            stream[random.Next(stream.Scans), random.Next(stream.Channels)] = ushort.MaxValue;
        where = $"{where}, {options.Bits} bits, {stream.Channels} channels, {setup.Columns.ColumnCount} columns, {setup.Columns.Placement}, edges {(setup.Sweep.Edges is null ? "learnt" : "given")}, " +
            $"skew {setup.Columns.SkewScans}, delay {setup.Columns.VideoDelaySeconds * options.ScanRateHz} scans";

        BothPaths.AssertSame(stream, setup, Engines.HistoryFor(stream), () => random.Next(3) == 0 ? 64 * random.Next(1, 60) : random.Next(1, 3_000), where);
    }
}
