namespace Acquire.Tests.Models;

/// <summary>A ramp whose flyback undershoots and rings, and where its sweeps are.</summary>
/// <remarks>Behind the flyback the ramp is a damped oscillation about its rest, -a exp(-t / tau) sin(2 pi t / P), which goes on through rest and ramp.</remarks>
internal sealed record RingingRamp
{
    // Of the way: what the ringing has come down to where the rest begins.
    private const double RungDown = 0.001;

    public int Seed { get; init; }

    public int Bits { get; init; } = 12;

    public bool Falls { get; init; }

    /// <summary>Edges as shares of the full code.</summary>
    public double Low { get; init; } = 0.25;

    public double High { get; init; } = 0.8;

    public double SweepScans { get; init; }

    public double RetraceScans { get; init; }

    public bool Curved { get; init; }

    /// <summary>Amplitude of the ringing, of the way.</summary>
    public double Undershoot { get; init; }

    public double PeriodScans { get; init; }

    public double DecayScans { get; init; }

    /// <summary>Rest when it has rung down.</summary>
    public double RestScans { get; init; }

    public double NoiseCodes { get; init; }

    public int Count { get; init; } = 8;

    /// <summary>Every so many sweeps one flies back early, or 0.</summary>
    public int AbortEvery { get; init; }

    public double AbortShare { get; init; }

    public int FullCode => (1 << Bits) - 1;

    private double CycleScans => SweepScans + RetraceScans + (DecayScans * Math.Log(Undershoot / RungDown)) + RestScans;

    /// <summary>First scan and one past the last of each sweep.</summary>
    public IReadOnlyList<(long Start, long End)> Sweeps =>
        [.. Enumerable.Range(0, Count).Select(i => ((long)Math.Ceiling(i * CycleScans), (long)Math.Ceiling((i * CycleScans) + (SweepScans * ShareOf(i)))))];

    /// <summary>How far a start or end may be off, docs/sweeps.md.</summary>
    public double LimitScans
    {
        get
        {
            double slope = (High - Low) * FullCode / SweepScans;
            return Math.Max(Math.Max(2, 0.001 * SweepScans), 3 * NoiseCodes / Math.Sqrt(Math.Max(1, 0.01 * SweepScans)) / slope);
        }
    }

    /// <summary>Draws one: undershoots of 5 to 20 %, periods of a tenth of the retrace to twice of it.</summary>
    public static RingingRamp Draw(int seed)
    {
        Random random = new(seed);
        double sweep = Log(300, 3_000), retrace = Math.Max(2, sweep * Between(0.02, 0.2)), period = Math.Max(4, retrace * Log(0.1, 2));
        int bits = random.Next(3) == 0 ? 10 : 12;
        return new RingingRamp
        {
            Seed = seed,
            Bits = bits,
            Falls = random.Next(2) == 0,
            Low = Between(0.2, 0.3),
            High = Between(0.75, 0.9),
            SweepScans = sweep,
            RetraceScans = retrace,
            Curved = random.Next(2) == 0,
            Undershoot = Between(0.05, 0.2),
            PeriodScans = period,
            DecayScans = period * Log(0.3, 3),
            RestScans = sweep * Between(0.01, 0.5),
            NoiseCodes = Log(0.5, bits == 10 ? 1 : 3),
        };

        double Between(double low, double high) => low + ((high - low) * random.NextDouble());

        double Log(double low, double high) => Math.Exp(Between(Math.Log(low), Math.Log(high)));
    }

    public bool Aborts((long Start, long End) sweep) => sweep.End - sweep.Start < 0.9 * SweepScans;

    public IEnumerable<ushort> Codes()
    {
        Random random = new(Seed + 1);
        long end = (long)(Count * CycleScans);
        for (long scan = 0; scan < end; scan++)
        {
            int sweep = (int)(scan / CycleScans);
            double level = LevelAt(sweep, scan - (sweep * CycleScans));
            double code = (Low + ((High - Low) * (Falls ? 1 - level : level))) * FullCode;
            double noise = Math.Sqrt(-2 * Math.Log(1 - random.NextDouble())) * Math.Cos(2 * Math.PI * random.NextDouble());
            yield return (ushort)Math.Clamp(Math.Round(code + (NoiseCodes * noise)), 0, FullCode);
        }
    }

    private double ShareOf(int sweep) => AbortEvery > 0 && sweep % AbortEvery == AbortEvery - 1 ? AbortShare : 1;

    private double LevelAt(int sweep, double time)
    {
        double top = ShareOf(sweep), behind = time - (top * SweepScans);
        if (behind < 0) return (time / SweepScans) + (sweep > 0 ? RingAt(time + CycleScans - (SweepScans * ShareOf(sweep - 1)), ShareOf(sweep - 1)) : 0);
        double back = behind / (RetraceScans * top);
        return back >= 1 ? RingAt(behind, top) : top * (Curved ? 1 - ((1 - Math.Exp(-4 * back)) / (1 - Math.Exp(-4))) : 1 - back);
    }

    /// <param name="behind">Scans since the flyback began.</param>
    /// <param name="top">Where it began, of the way.</param>
    private double RingAt(double behind, double top)
    {
        double time = behind - (RetraceScans * top);
        return -Undershoot * top * Math.Exp(-time / DecayScans) * Math.Sin(2 * Math.PI * time / PeriodScans);
    }
}
