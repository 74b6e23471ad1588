namespace Acquire.Sources.Synthetic;

/// <summary>Spikes on the ramp that last one scan.</summary>
/// <param name="EveryScans">Mean distance between two spikes in scans, 1 or more.</param>
/// <param name="AmplitudeCodes">Height in codes, 0 or more; null is up to the rail.</param>
/// <param name="Direction">Which way they point.</param>
public sealed record SpikeModel(double EveryScans, double? AmplitudeCodes = null, SpikeDirection Direction = SpikeDirection.Either)
{
    /// <summary>Fewest scans from one spike to the next; one that would come sooner stays away.</summary>
    /// <value>1 to 1,000; default 1: two may come side by side.</value>
    public int ApartScans { get; init; } = 1;

    internal void Validate()
    {
        Check.Range(EveryScans, 1, 1e15, "Ramp.Spikes.EveryScans", "a mean distance in scans");
        Check.Range(ApartScans, 1, 1_000, "Ramp.Spikes.ApartScans", "a number of scans");
        if (AmplitudeCodes is { } amplitude) Check.AtLeastZero(amplitude, "Ramp.Spikes.AmplitudeCodes");
    }
}
