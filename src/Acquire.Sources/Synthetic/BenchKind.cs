namespace Acquire.Sources.Synthetic;

/// <summary>Kinds of instrument, connection and fault for which <see cref="BenchKinds"/> draws benches.</summary>
public enum BenchKind
{
    /// <summary>Rising ramp, nothing unusual.</summary>
    Rising,

    /// <summary>Falling ramp, nothing unusual.</summary>
    Falling,

    /// <summary>A triangle that draws both ways.</summary>
    BothWays,

    /// <summary>5 to 50 scans per sweep.</summary>
    Fast,

    /// <summary>100,000 to 1,000,000 scans per sweep.</summary>
    Slow,

    /// <summary>White noise on the ramp of up to 1 % of its size, rms.</summary>
    Noise,

    /// <summary>Mains hum on the ramp of up to 2 % of its size, in sweeps of one to fifty of its cycles.</summary>
    Hum,

    /// <summary>Single-scan spikes up to the rail, at least 50 scans apart on average, at least 50 scans per sweep.</summary>
    Spikes,

    /// <summary>The ramp runs into one or both rails.</summary>
    Clipped,

    /// <summary>One scan high, the next low.</summary>
    NoRetrace,

    /// <summary>A retrace of two scans.</summary>
    TwoScanRetrace,

    /// <summary>A retrace of half the sweep.</summary>
    HalfSweepRetrace,

    /// <summary>No rest: the next sweep follows the retrace.</summary>
    NoRest,

    /// <summary>A rest of 2 to 50 sweeps.</summary>
    LongRest,

    /// <summary>A rest at a level anywhere in the converter, outside the sweep's range included.</summary>
    RestAnywhere,

    /// <summary>Sweeps that fly back early.</summary>
    Aborts,

    /// <summary>A sweep time that changes by up to 100 times between two sweeps.</summary>
    SweepTimeChange,

    /// <summary>A recording that begins and ends anywhere in the cycle.</summary>
    BeginsInside,

    /// <summary>Gaps anywhere.</summary>
    Gaps,

    /// <summary>Breaks anywhere.</summary>
    Breaks,

    /// <summary>A ramp that uses a fifth of the converter.</summary>
    Fifth,

    /// <summary>Offset and size that drift by up to 5 % of the converter over the recording.</summary>
    Drift,

    /// <summary>A pause in every sweep, under blanking.</summary>
    BlankedPause,

    /// <summary>A pause in every sweep, with the beam on.</summary>
    Pause,

    /// <summary>A blanking channel, either polarity, with noise and lead or lag.</summary>
    BlankingChannel,

    /// <summary>A bent ramp.</summary>
    Bow,

    /// <summary>A ramp that changes its slope.</summary>
    Kink,

    /// <summary>A staircase.</summary>
    Staircase,

    /// <summary>A ramp that droops behind an AC coupling.</summary>
    Droop,

    /// <summary>No ramp: one level with a little noise.</summary>
    Constant,

    /// <summary>No ramp: white noise.</summary>
    WhiteNoise,

    /// <summary>No ramp: a random walk.</summary>
    RandomWalk,

    /// <summary>No ramp: mains at 50 or 60 Hz, a sine or clipped to a trapezium.</summary>
    Mains,

    /// <summary>No ramp: an open input that repeats the vertical at 1 to 90 %.</summary>
    Floating,

    /// <summary>Mains hum on the ramp, as large as lets a start be found within two scans or 0.1 % of the sweep; see <see cref="BenchKinds.MostHum"/>.</summary>
    FaintHum,

    /// <summary>A flyback, straight or curved, that turns into the ramp with no rest or next to none; 200 to 50,000 scans per sweep.</summary>
    Turn,

    /// <summary>A ramp behind an AC coupling whose time constant is two sweeps or more, at rest for so short that it drifts by 1 % at most.</summary>
    Coupled,

    /// <summary>As <see cref="FaintHum"/>, with a second harmonic of up to a half and a third of up to a third of it, as a rectifier's or a dimmed lamp's has.</summary>
    HarmonicHum,
}
