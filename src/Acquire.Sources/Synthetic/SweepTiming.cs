namespace Acquire.Sources.Synthetic;

/// <summary>How the instrument times its sweeps. Lengths are in scans and may be fractional: the instrument does not know the converter's clock.</summary>
public sealed record SweepTiming
{
    /// <summary>Time of one sweep from start to end, in scans, pauses not counted.</summary>
    /// <value>2 to 1e12; default 10,000. For <see cref="RampKind.Manual"/> the mean time of one turn across the whole screen.</value>
    public double SweepScans { get; init; } = 10_000;

    /// <summary>Factors on the sweep time, used in turn, one per sweep and then from the start again; empty is always 1.</summary>
    /// <value>Each 0.0001 to 10,000.</value>
    public IReadOnlyList<double> SweepFactors { get; init; } = [];

    /// <summary>Random change of the sweep time per sweep, relative, up to this much either way.</summary>
    /// <value>0 to 0.9; default 0.</value>
    public double SweepJitter { get; init; }

    /// <summary>Factor on the sweep time of the way back of <see cref="RampKind.BothWays"/>; default 1.</summary>
    public double ReturnFactor { get; init; } = 1;

    /// <summary>Time of a flyback across the whole screen, in scans; a shorter way takes less.</summary>
    /// <value>0 to 1e12; default 200. 0: one scan high, the next low.</value>
    public double RetraceScans { get; init; } = 200;

    /// <summary>How the ramp flies back; default in a straight line.</summary>
    public RetraceShape RetraceShape { get; init; } = RetraceShape.Linear;

    /// <summary>Time constants within an exponential flyback: a few leave it steep where it ends, many let it come to rest.</summary>
    /// <value>0.1 to 50; default 5.</value>
    public double RetraceConstants { get; init; } = 5;

    /// <summary>Time between flyback and next sweep, in scans; at either end for <see cref="RampKind.BothWays"/>.</summary>
    /// <value>0 to 1e12; default 300. For <see cref="RampKind.Manual"/> the mean time of standing still.</value>
    public double RestScans { get; init; } = 300;

    /// <summary>Random change of the rest per sweep, relative, up to this much either way.</summary>
    /// <value>0 to 1; default 0.</value>
    public double RestJitter { get; init; }

    /// <summary>Level of the rest as a share of the full code; null rests where the sweep starts.</summary>
    /// <value>-2 to 3. Between the edges the flyback is divided by the rest; outside of them the way beyond the edge is a jump.
    /// Not used for <see cref="RampKind.BothWays"/>, which rests where it turns.</value>
    public double? RestLevel { get; init; }

    /// <summary>Chance that a sweep is aborted and flies back early.</summary>
    /// <value>0 to 1; default 0.</value>
    public double AbortChance { get; init; }

    /// <summary>Least share of the sweep time after which a random abort comes; default 0.1.</summary>
    public double AbortFrom { get; init; } = 0.1;

    /// <summary>Largest share of the sweep time after which a random abort comes; default 0.9.</summary>
    public double AbortTo { get; init; } = 0.9;

    /// <summary>Aborts of stated sweeps, beside the random ones.</summary>
    public IReadOnlyList<AbortAt> Aborts { get; init; } = [];

    /// <summary>Part of the cycle in which the stream begins; default at the start of a sweep.</summary>
    public BeginPhase Begin { get; init; } = BeginPhase.Sweep;

    /// <summary>Share of that part which is over when the stream begins.</summary>
    /// <value>0 to 0.999999; default 0.</value>
    public double BeginShare { get; init; }

    internal void Validate()
    {
        Check.Range(SweepScans, 2, 1e12, "Sweep.SweepScans", "a length in scans");
        foreach (double factor in SweepFactors) Check.Range(factor, 1e-4, 1e4, "Sweep.SweepFactors", "a factor on the sweep time");
        Check.Range(SweepJitter, 0, 0.9, "Sweep.SweepJitter", "relative");
        Check.Range(ReturnFactor, 1e-4, 1e4, "Sweep.ReturnFactor", "a factor on the sweep time");
        Check.Range(RetraceScans, 0, 1e12, "Sweep.RetraceScans", "a length in scans");
        Check.Range(RetraceConstants, 0.1, 50, "Sweep.RetraceConstants", "a number of time constants");
        Check.Range(RestScans, 0, 1e12, "Sweep.RestScans", "a length in scans");
        Check.Range(RestJitter, 0, 1, "Sweep.RestJitter", "relative");
        if (RestLevel is { } level) Check.Range(level, -2, 3, "Sweep.RestLevel", "a share of the full code");
        Check.Range(AbortChance, 0, 1, "Sweep.AbortChance", "a probability");
        Check.Range(AbortFrom, 0.001, 0.999, "Sweep.AbortFrom", "a share of the sweep time");
        Check.Range(AbortTo, AbortFrom, 0.999, "Sweep.AbortTo", "a share of the sweep time, not below AbortFrom");
        foreach (AbortAt abort in Aborts) abort.Validate();
        Check.Range(BeginShare, 0, 0.999999, "Sweep.BeginShare", "a share of the part in which the stream begins");
    }
}
