using Acquire.Sources.Synthetic;
using Acquire.Sweeps;

namespace Acquire.Tests.Sweeps;

/// <summary>What the tracker found beside the truth: sweeps missed, invented, and off.</summary>
internal sealed class SweepScore
{
    // A converter's rounding: 1 / sqrt(12) codes (Bennett, 1948).
    private const double RoundingVariance = 1 / 12.0;

    private readonly List<string> _where = [];

    public int Sweeps { get; private set; }

    public int Missed { get; private set; }

    public int Invented { get; private set; }

    public int Off { get; private set; }

    /// <summary>The first few places where it was wrong, and how.</summary>
    public string Where => string.Join("; ", _where.Take(8));

    /// <summary>Runs a bench and adds what was found.</summary>
    public void Add(string name, SyntheticOptions options)
    {
        // A ramp that draws both ways is told from a clipped mains sine only where it turns without resting, equally fast.
        bool ambiguous = options.Ramp.Kind == RampKind.BothWays && (options.Sweep.RestScans > 0 || options.Sweep.ReturnFactor != 1);
        TrackedBench run = TrackedBench.Run(options, ambiguous ? RampDirection.Both : RampDirection.Auto);
        bool[] used = new bool[run.Sweeps.Count];
        // Nothing tells a recording in which the ramp moves by less than a tenth of the converter from one that drifts.
        bool moves = run.Truth.Sweeps.Any(t => Math.Abs(t.EndFraction - t.StartFraction) * (options.Ramp.High - options.Ramp.Low) >= 0.1);
        if (!moves) return;
        foreach (TrueSweep truth in run.Truth.Sweeps)
        {
            int found = Overlapping(run.Sweeps, truth);
            Sweeps++;
            if (found >= 0)
            {
                used[found] = true;
                Measure(name, options, truth, run.Sweeps[found]);
            }
            else if (CanBeTold(options, truth))
            {
                Missed++;
                _where.Add($"{name} missed {truth.StartScan}-{truth.EndScan} ({truth.StartReason}-{truth.EndReason})");
            }
        }

        for (int i = 0; i < used.Length; i++)
        {
            if (used[i] || run.Sweeps[i].EndScan - run.Sweeps[i].StartScan < 3) continue;
            Invented++;
            _where.Add($"{name} invented {run.Sweeps[i].StartScan}-{run.Sweeps[i].EndScan}");
        }
    }

    /// <summary>Whether a piece of a sweep can be told from a rest: standing or moving, its slope is three of its deviations from the middle.</summary>
    private static bool CanBeTold(SyntheticOptions options, TrueSweep truth)
    {
        if (truth.StartReason == SweepStart.Ramp && truth.EndReason is SweepEnd.Retrace or SweepEnd.Abort) return true;
        double scans = truth.EndScan - truth.StartScan, noise = options.Ramp.NoiseCodes;
        double slopeDeviation = Math.Sqrt(((noise * noise) + RoundingVariance) * 12 / scans) / scans;
        return scans >= 3 && SlopeOf(options, truth) >= 6 * slopeDeviation;
    }

    /// <summary>The most of 2 scans, 0.1 % of the sweep, and three times the noise over the root of the scans in 1 % of it.</summary>
    public static double LimitOf(SyntheticOptions options, TrueSweep truth)
    {
        double length = LengthOf(options, truth);
        double noise = 3 * options.Ramp.NoiseCodes / Math.Sqrt(Math.Max(1, 0.01 * length)) / SlopeOf(options, truth);
        return Math.Max(2, Math.Max(0.001 * length, noise));
    }

    private void Measure(string name, SyntheticOptions options, TrueSweep truth, TrackedSweep got)
    {
        double limit = LimitOf(options, truth);
        long start = truth.StartScan + truth.StartRailScans, end = truth.EndScan - truth.EndRailScans;
        if (Math.Abs(got.StartScan - start) <= limit && Math.Abs(got.EndScan - end) <= limit) return;
        Off++;
        _where.Add($"{name} {start}-{end} got {got.StartScan}-{got.EndScan}, limit {limit:F1}");
    }

    public static double SlopeOf(SyntheticOptions options, TrueSweep sweep) =>
        (options.Ramp.High - options.Ramp.Low) * options.Format.FullCode / LengthOf(options, sweep);

    public static double LengthOf(SyntheticOptions options, TrueSweep sweep)
    {
        IReadOnlyList<double> factors = options.Sweep.SweepFactors;
        double factor = factors.Count == 0 ? 1 : factors[(int)(sweep.InstrumentSweep % factors.Count)];
        bool back = options.Ramp.Kind == RampKind.BothWays && sweep.Direction == RampDirection.Falling;
        return options.Sweep.SweepScans * factor * (back ? options.Sweep.ReturnFactor : 1);
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
