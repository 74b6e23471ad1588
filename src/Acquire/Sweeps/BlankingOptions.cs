namespace Acquire.Sweeps;

/// <summary>How the blanking channel is read. Values are codes, since a blanking line has two states and no scale.</summary>
public sealed record BlankingOptions
{
    /// <summary>Whether a code above the threshold means that the beam is off; null is learnt.</summary>
    public bool? HighIsBlanked { get; init; }

    /// <summary>Code between the two states; null is half way between the two levels seen.</summary>
    public int? ThresholdCode { get; init; }

    /// <summary>Codes by which the line must pass the threshold to count as changed.</summary>
    /// <value>0 or more; null is an eighth of the distance between the two levels.</value>
    public int? HysteresisCodes { get; init; }

    /// <summary>Seconds by which the line changes before the beam does; negative where it lags: each scan is then taken so much later.</summary>
    /// <value>At most 65,536 scans either way; default 0. Needs a scan rate when it is not 0.</value>
    public double LeadSeconds { get; init; }
}
