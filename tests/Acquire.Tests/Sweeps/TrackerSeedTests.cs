using Acquire.Sources.Synthetic;
using Acquire.Sweeps;

namespace Acquire.Tests.Sweeps;

/// <summary>Sweeps of every kind against the truth: none missed, none invented, ends where they belong.</summary>
/// <remarks>
/// The number of seeds a kind is 25, or what ACQUIRE_SEEDS says; the figures of a thousand stand in docs/sweeps.md. A kind in which some
/// sweeps cannot be placed that sharply has a share that may be off, with the reason beside it; missed and invented sweeps have none.
/// </remarks>
public sealed class TrackerSeedTests
{
    private static int Seeds => int.TryParse(Environment.GetEnvironmentVariable("ACQUIRE_SEEDS"), out int n) ? n : 25;

    /// <summary>Kinds, and the share of sweeps whose ends may be off.</summary>
    public static TheoryData<BenchKind, double> Kinds => new()
    {
        { BenchKind.Rising, 0.005 },
        { BenchKind.Falling, 0.005 },
        { BenchKind.BothWays, 0.01 },
        { BenchKind.Fast, 0.01 },
        { BenchKind.Slow, 0.03 },
        { BenchKind.Noise, 0.05 }, // the limit of 2 scans is 3 to 4 deviations of the best line through the doubt
        { BenchKind.Spikes, 0.03 }, // the bench puts spikes side by side, which are not single any more
        { BenchKind.Clipped, 0.005 },
        { BenchKind.NoRetrace, 0.005 },
        { BenchKind.TwoScanRetrace, 0.005 },
        { BenchKind.HalfSweepRetrace, 0.01 },
        { BenchKind.NoRest, 0.01 },
        { BenchKind.LongRest, 0.01 },
        { BenchKind.RestAnywhere, 0.03 }, // a rest level a little above the end is a part of the ramp until it stands
        { BenchKind.Aborts, 0.01 },
        { BenchKind.SweepTimeChange, 0.02 },
        { BenchKind.BeginsInside, 0.02 },
        { BenchKind.Gaps, 0.01 },
        { BenchKind.Breaks, 0.02 },
        { BenchKind.Fifth, 0.03 },
        { BenchKind.Drift, 0.02 },
        { BenchKind.BlankedPause, 0.01 },
        { BenchKind.Pause, 0.01 },
        { BenchKind.BlankingChannel, 0.01 },
    };

    public static TheoryData<BenchKind> Without => [.. BenchKinds.WithoutRamp];

    [Theory]
    [MemberData(nameof(Kinds))]
    public void Tracker_EveryKind_MissesAndInventsNothing(BenchKind kind, double shareOff)
    {
        int sweeps = 0, wrong = 0, off = 0;
        List<string> where = [];
        int seeds = kind == BenchKind.Slow ? Math.Max(2, Seeds / 10) : Seeds;
        for (int seed = 0; seed < seeds; seed++)
        {
            SyntheticOptions options = BenchKinds.Draw(kind, (ulong)seed);
            // Slower back than a documented flyback: which way it draws cannot be told.
            if (kind != BenchKind.BothWays && options.Sweep.RetraceScans > 0.55 * options.Sweep.SweepScans) continue;
            Tally(seed, options, ref sweeps, ref wrong, ref off, where);
        }

        Assert.True(sweeps > 0);
        Assert.True(wrong <= sweeps * ShareWrong(kind), $"{wrong} of {sweeps} sweeps missed or invented: {string.Join("; ", where.Take(8))}");
        Assert.True(off <= Math.Max(1, sweeps * shareOff), $"{off} of {sweeps} sweeps off: {string.Join("; ", where.Take(8))}");
    }

    [Theory]
    [MemberData(nameof(Without))]
    public void Tracker_NoRamp_NoSweep(BenchKind kind)
    {
        List<string> invented = [];
        for (int seed = 0; seed < Seeds; seed++)
        {
            TrackedBench run = TrackedBench.Run(BenchKinds.Draw(kind, (ulong)seed), RampDirection.Auto);
            if (run.Sweeps.Count > 0) invented.Add($"seed {seed}: {run.Sweeps.Count}");
        }

        Assert.True(invented.Count == 0, string.Join("; ", invented));
    }

    // After a break a piece of two or three scans, or one too short to have moved, is not told from a rest.
    private static double ShareWrong(BenchKind kind) => kind switch
    {
        BenchKind.Breaks => 0.02,
        BenchKind.Gaps => 0.01,
        BenchKind.Spikes => 0.02,
        BenchKind.BeginsInside => 0.02,
        _ => 0.001,
    };

    private static void Tally(int seed, SyntheticOptions options, ref int sweeps, ref int wrong, ref int off, List<string> where)
    {
        bool ambiguous = options.Ramp.Kind == RampKind.BothWays && (options.Sweep.RestScans > 0 || options.Sweep.ReturnFactor != 1);
        TrackedBench run = TrackedBench.Run(options, ambiguous ? RampDirection.Both : RampDirection.Auto);
        bool[] used = new bool[run.Sweeps.Count];
        double codes = (options.Ramp.High - options.Ramp.Low) * options.Format.FullCode;
        foreach (TrueSweep truth in run.Truth.Sweeps)
        {
            double length = options.Sweep.SweepScans * FactorOf(options, truth);
            double slope = codes / length;
            // Three scans of a ramp that has not moved by three codes are no evidence of a sweep.
            bool tiny = (truth.EndScan - truth.StartScan) * slope < 3 || truth.EndScan - truth.StartScan < 3;
            int found = Overlapping(run.Sweeps, truth);
            sweeps++;
            if (found < 0)
            {
                if (tiny) continue;
                wrong++;
                where.Add($"seed {seed} missed {truth.StartScan}-{truth.EndScan} ({truth.StartReason}-{truth.EndReason})");
                continue;
            }

            used[found] = true;
            double noise = options.Ramp.NoiseCodes;
            // The most of 2 scans, 0.1 % of the sweep, and three times the noise over the root of the scans in 1 % of it; one scan
            // more since a turning point between two scans belongs to either.
            double limit = 1 + Math.Max(2, Math.Max(0.001 * length, 3 * noise / Math.Sqrt(Math.Max(1, 0.01 * length)) / slope));
            TrackedSweep got = run.Sweeps[found];
            long start = truth.StartScan + truth.StartRailScans, end = truth.EndScan - truth.EndRailScans;
            if (Math.Abs(got.StartScan - start) <= limit && Math.Abs(got.EndScan - end) <= limit) continue;
            off++;
            where.Add($"seed {seed} {start}-{end} got {got.StartScan}-{got.EndScan}, limit {limit:F1}");
        }

        for (int i = 0; i < used.Length; i++)
        {
            if (used[i] || run.Sweeps[i].EndScan - run.Sweeps[i].StartScan < 3) continue;
            wrong++;
            where.Add($"seed {seed} invented {run.Sweeps[i].StartScan}-{run.Sweeps[i].EndScan}");
        }
    }

    private static double FactorOf(SyntheticOptions options, TrueSweep sweep)
    {
        IReadOnlyList<double> factors = options.Sweep.SweepFactors;
        double factor = factors.Count == 0 ? 1 : factors[(int)(sweep.InstrumentSweep % factors.Count)];
        return factor;
    }

    private static int Overlapping(List<TrackedSweep> sweeps, TrueSweep truth)
    {
        int best = -1;
        long most = 0;
        for (int i = 0; i < sweeps.Count; i++)
        {
            long overlap = Math.Min(sweeps[i].EndScan, truth.EndScan) - Math.Max(sweeps[i].StartScan, truth.StartScan);
            if (overlap <= most) continue;
            most = overlap;
            best = i;
        }

        return best;
    }
}
