using Acquire.Capture;
using Acquire.Columns;
using Acquire.Sweeps;
using Acquire.Tests.Engine;

namespace Acquire.Tests.Sweeps;

/// <summary>A rest that drifts, because a capacitor couples the ramp, is no part of the sweep; a halt of the ramp is.</summary>
public sealed class DriftingRestTests
{
    private const int Full = 4_095, Sweeps = 8;

    [Fact]
    public void Tracker_CoupledRampWithRests_StartsWhereTheRampTurnsUp()
    {
        foreach (ulong seed in Seeds.Of(60))
        {
            var ramp = CoupledRamp.Draw(new Random((int)seed));
            List<TrackedSweep> found = Track(ramp.Codes, RampDirection.Auto);

            Assert.True(found.Count == Sweeps, $"Seed {seed}: {found.Count} sweeps of {Sweeps}.");
            for (int i = 0; i < Sweeps; i++)
            {
                Assert.True(Math.Abs(found[i].StartScan - ramp.Starts[i]) <= ramp.Limit, $"Seed {seed}, sweep {i}: starts at {found[i].StartScan}, not at {ramp.Starts[i]} +/- {ramp.Limit:0.0}.");
                Assert.True(Math.Abs(found[i].EndScan - ramp.Ends[i]) <= ramp.Limit, $"Seed {seed}, sweep {i}: ends at {found[i].EndScan}, not at {ramp.Ends[i]} +/- {ramp.Limit:0.0}.");
            }
        }
    }

    [Fact]
    public void Blocks_CoupledRampWithRests_LeaveTheBitsOfSingleScans()
    {
        foreach (ulong seed in Seeds.Of(20))
        {
            var random = new Random((int)seed);
            var stream = new ScanStream(new ScanFormat { Bits = 12 });
            foreach (ushort code in CoupledRamp.Draw(random).Codes) stream.Add(code, (ushort)random.Next(Full + 1));
            Placement placement = random.Next(2) == 0 ? Placement.Direct : Placement.Fitted;
            Setup setup = new() { Scan = stream.Format, Columns = new ColumnOptions { Placement = placement, Domains = [] } };

            BothPaths.AssertSame(stream, setup, historyScans: 1 << random.Next(13, 18), () => random.Next(1, 2_500), $"Seed {seed}");
        }
    }

    [Theory]
    [InlineData(0.03)]
    [InlineData(0.06)]
    [InlineData(0.09)]
    [InlineData(0.25)]
    public void Tracker_RampThatHaltsNearItsStart_IsOneSweep(double haltsAt)
    {
        foreach (int halt in (int[])[300, 2_000, 8_000])
        {
            var random = new Random(halt);
            List<ushort> codes = [];
            List<int> starts = [];
            for (int s = 0; s < Sweeps; s++)
            {
                for (int i = 0; i < 1_000; i++) Add(300);
                starts.Add(codes.Count);
                for (int i = 0; i < 4_000; i++)
                {
                    if (i == (int)(4_000 * haltsAt))
                        for (int h = 0; h < halt; h++) Add(300 + (3_400 * haltsAt));
                    Add(300 + (3_400 * i / 4_000.0));
                }
            }

            for (int i = 0; i < 1_000; i++) Add(300);
            List<TrackedSweep> found = Track(codes, RampDirection.Rising);

            Assert.Equal(Sweeps, found.Count);
            // 0.1 % of a sweep with its halt, as everywhere.
            double limit = 0.001 * (4_000 + halt);
            Assert.All(found.Index(), sweep => Assert.InRange(sweep.Item.StartScan, starts[sweep.Index] - limit, starts[sweep.Index] + limit));

            void Add(double level) => codes.Add((ushort)Math.Round(level + (2 * (random.NextDouble() + random.NextDouble() + random.NextDouble() - 1.5))));
        }
    }

    [Theory]
    [InlineData(0.15, 0.5)]
    [InlineData(0.02, 0.9)]
    [InlineData(0.25, 0.3)]
    public void Tracker_SweepThatFillsTheHistoryWithItsRest_IsFound(double flyback, double rest)
    {
        const int history = 1 << 14, sweep = (int)(0.8 * history);
        var random = new Random(5);
        List<ushort> codes = [];
        List<int> starts = [];
        for (int s = 0; s < 5; s++)
        {
            for (int i = 0; i < rest * sweep; i++) Add(400);
            starts.Add(codes.Count);
            for (int i = 0; i < sweep; i++) Add(400 + (3_200.0 * i / sweep));
            for (int i = 0; i < flyback * sweep; i++) Add(400 + (3_200 * Math.Exp(-7 * i / (flyback * sweep))));
        }

        for (int i = 0; i < 1_000; i++) Add(400);
        List<TrackedSweep> found = Track(codes, RampDirection.Auto, history);

        Assert.Equal(starts.Count, found.Count);
        Assert.All(found.Index(), one => Assert.InRange(one.Item.StartScan, starts[one.Index] - (0.001 * sweep), starts[one.Index] + (0.001 * sweep)));

        void Add(double level) => codes.Add((ushort)Math.Round(level + (2 * (random.NextDouble() + random.NextDouble() + random.NextDouble() - 1.5))));
    }

    private static List<TrackedSweep> Track(IEnumerable<ushort> codes, RampDirection direction, int history = 1 << 18)
    {
        CollectedSweeps sweeps = new();
        SweepTracker tracker = new(direction, Full, given: null, sweeps, history);
        foreach (ushort code in codes) tracker.Push(code);
        tracker.Complete();
        return sweeps.Ended;
    }

    /// <summary>Rest, ramp and flyback through a high-pass of first order, some time after it was switched on.</summary>
    private sealed record CoupledRamp(ushort[] Codes, List<int> Starts, List<int> Ends, double Limit)
    {
        public static CoupledRamp Draw(Random random)
        {
            int sweep = (int)(400 * Math.Pow(20, random.NextDouble())), rest = (int)(sweep * (0.1 + (0.5 * random.NextDouble()))), flyback = Math.Max(4, (int)(sweep * 0.1 * random.NextDouble()));
            // The ramp loses up to a quarter of its way in a sweep's time.
            double loss = (0.03 + (0.22 * random.NextDouble())) / sweep, noise = 0.3 + random.NextDouble(), mean = 0;
            bool falls = random.Next(2) == 0;
            List<ushort> codes = [];
            List<int> starts = [], ends = [];
            // Five of its time constants after it was switched on.
            for (int periods = -(int)Math.Ceiling(5 / loss / (rest + sweep + flyback)); periods < Sweeps; periods++)
            {
                bool kept = periods >= 0;
                for (int i = 0; i < rest; i++) Step(0, kept);
                if (kept) starts.Add(codes.Count);
                for (int i = 0; i < sweep; i++) Step((double)i / sweep, kept);
                if (kept) ends.Add(codes.Count);
                for (int i = 0; i < flyback; i++) Step(Math.Exp(-6.0 * i / flyback), kept);
            }

            for (int i = 0; i < rest; i++) Step(0, kept: true);
            double way = 3 * noise / Math.Sqrt(Math.Max(1, sweep / 100.0)) / (2_400.0 / sweep);
            return new CoupledRamp([.. codes], starts, ends, Math.Max(Math.Max(2, 0.001 * sweep), way));

            void Step(double level, bool kept)
            {
                mean += loss * (level - mean);
                if (!kept) return;
                double code = 2_048 + ((falls ? -2_400 : 2_400) * (level - mean)) + (noise * 2 * (random.NextDouble() + random.NextDouble() + random.NextDouble() - 1.5));
                codes.Add((ushort)Math.Clamp(Math.Round(code), 0, Full));
            }
        }
    }
}
