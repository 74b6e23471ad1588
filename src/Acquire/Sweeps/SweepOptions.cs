namespace Acquire.Sweeps;

/// <summary>How sweeps are found on the ramp.</summary>
public sealed record SweepOptions
{
    /// <summary>How the ramp is understood; default <see cref="SweepMode.Swept"/>.</summary>
    public SweepMode Mode { get; init; } = SweepMode.Swept;

    /// <summary>Which way the ramp's codes go while the beam draws; default learnt.</summary>
    /// <remarks>It is about codes; where volts fall as codes rise, it is still the codes that count.</remarks>
    public RampDirection Direction { get; init; } = RampDirection.Auto;

    /// <summary>The edges of the screen on the ramp, or null: learnt from the first whole sweep, then frozen.</summary>
    public SweepEdges? Edges { get; init; }

    /// <summary>How the blanking channel is read; used only where the scan format has one.</summary>
    public BlankingOptions Blanking { get; init; } = new();

    /// <summary>Length of one pass in <see cref="SweepMode.Time"/>, in seconds; or in scans where no scan rate is known, then at least one for each column.</summary>
    /// <value>Positive, of 2 to 2^46 scans; default 1.</value>
    public double TimeSpan { get; init; } = 1;
}
