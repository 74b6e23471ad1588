using Acquire.Harness.Inspect.Spectra;

namespace Acquire.Harness.Inspect;

/// <summary>What a closer look shows of one vertical.</summary>
internal sealed record VerticalCloseLook
{
    /// <summary>Channel index.</summary>
    public required int Channel { get; init; }

    /// <summary>Lines within sweeps, strongest first; a signal that waves evenly over the screen makes one too.</summary>
    public required IReadOnlyList<SpectralLine> LinesWithinSweeps { get; init; }

    /// <summary>Waves that do not repeat with the sweep, the strongest line's first; one of which the mean over the sweeps took too much to tell its amplitude is none.</summary>
    public required IReadOnlyList<SpectralLine> LinesAcrossSweeps { get; init; }

    /// <summary>Squared correlation of the retrace with the sweep at the same ramp codes, its scans, and the sweep's spread there in codes.</summary>
    public required (double Squared, long Scans, double SpreadCodes) Retrace { get; init; }

    /// <summary>What of it is in the ramp.</summary>
    public required CrosstalkReport InRamp { get; init; }
}
