using Acquire.Harness.Inspect.Spectra;

namespace Acquire.Harness.Inspect;

/// <summary>What a closer look shows of one vertical.</summary>
internal sealed record VerticalCloseLook
{
    /// <summary>Channel index.</summary>
    public required int Channel { get; init; }

    /// <summary>Lines within sweeps, strongest first; a signal that waves evenly over the screen makes one too.</summary>
    public required IReadOnlyList<SpectralLine> LinesWithinSweeps { get; init; }

    /// <summary>Lines of what does not repeat with the sweep, strongest first.</summary>
    public required IReadOnlyList<SpectralLine> LinesAcrossSweeps { get; init; }

    /// <summary>Squared correlation of the retrace with the sweep at the same ramp codes, its scans, and the sweep's spread there in codes.</summary>
    public required (double Squared, long Scans, double SpreadCodes) Retrace { get; init; }
}
