namespace Acquire.Scales;

/// <summary>What a vertical's codes stand for.</summary>
public sealed record VerticalScale
{
    /// <summary>Codes to volts, or null: results are in codes only.</summary>
    public CodeVolts? Volts { get; init; }

    /// <summary>What the voltage is proportional to; default logarithmic, the usual scale of a swept instrument.</summary>
    public VerticalLaw Law { get; init; } = VerticalLaw.Logarithmic;

    /// <summary>Which way is up on the screen; default <see cref="SignalUp.CodesRise"/>.</summary>
    public SignalUp Up { get; init; } = SignalUp.CodesRise;

    /// <summary>Known pairs of volts and level, or empty: no level is available.</summary>
    /// <value>Logarithmic: two or more points, volts strictly monotonic, level strictly monotonic, straight lines between and beyond them.
    /// Voltage or power law: exactly one point with volts other than <see cref="ZeroVolts"/>.</value>
    public IReadOnlyList<LevelPoint> Level { get; init; } = [];

    /// <summary>Volts of no input, for the two linear laws; default 0.</summary>
    public decimal ZeroVolts { get; init; }

    /// <summary>Unit printed after a level: "dB" relative to something unsaid, "dBm", "dBuV" and the like; default "dB".</summary>
    public string LevelUnit { get; init; } = "dB";

    /// <summary>Which way is up by volts and level points.</summary>
    /// <returns>Null where the scale lacks volts or level, or where its points give no direction.</returns>
    public SignalUp? ImpliedUp()
    {
        if (Volts is not { } volts || Level.Count == 0) return null;
        LevelPoint top = Level.MaxBy(p => p.LevelDb), bottom = Level.MinBy(p => p.LevelDb);
        decimal levelPerVolt = Law == VerticalLaw.Logarithmic ? top.Volts - bottom.Volts : top.Volts - ZeroVolts;
        if (levelPerVolt == 0 || volts.AtFullCode == volts.AtCodeZero) return null;
        return (levelPerVolt > 0) == (volts.AtFullCode > volts.AtCodeZero) ? SignalUp.CodesRise : SignalUp.CodesFall;
    }
}
