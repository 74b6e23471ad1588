namespace Acquire.Sources.Synthetic;

/// <summary>The blanking channel: a two-level line that says when the beam is off (retrace, rest, a blanked pause).</summary>
public sealed record BlankingModel
{
    /// <summary>Whether the higher level means that the beam is off; default true.</summary>
    public bool HighIsBlanked { get; init; } = true;

    /// <summary>Lower level as a share of the full code; default 0.05.</summary>
    public double Low { get; init; } = 0.05;

    /// <summary>Higher level as a share of the full code; default 0.9.</summary>
    public double High { get; init; } = 0.9;

    /// <summary>White noise in codes rms; default 0.</summary>
    public double NoiseCodes { get; init; }

    /// <summary>Scans by which the line changes before the beam does; negative where it lags.</summary>
    /// <value>-1e9 to 1e9; default 0.</value>
    public double LeadScans { get; init; }

    internal void Validate()
    {
        Check.Range(Low, -1, 2, "Blanking.Low", "a share of the full code");
        Check.Range(High, -1, 2, "Blanking.High", "a share of the full code");
        if (!(Low < High)) throw new ArgumentException($"Blanking.Low is {Low} and Blanking.High is {High}; low must be below high. HighIsBlanked gives the polarity.");
        Check.AtLeastZero(NoiseCodes, "Blanking.NoiseCodes");
        Check.Range(LeadScans, -1e9, 1e9, "Blanking.LeadScans", "a time in scans");
    }
}
