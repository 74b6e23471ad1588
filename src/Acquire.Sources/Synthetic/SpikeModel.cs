namespace Acquire.Sources.Synthetic;

/// <summary>Spikes on the ramp that last one scan.</summary>
/// <param name="EveryScans">Mean distance between two spikes in scans, 1 or more.</param>
/// <param name="AmplitudeCodes">Height in codes, 0 or more; null is up to the rail.</param>
/// <param name="Direction">Which way they point.</param>
public sealed record SpikeModel(double EveryScans, double? AmplitudeCodes = null, SpikeDirection Direction = SpikeDirection.Either)
{
    internal void Validate()
    {
        Check.Range(EveryScans, 1, 1e15, "Ramp.Spikes.EveryScans", "a mean distance in scans");
        if (AmplitudeCodes is { } amplitude) Check.AtLeastZero(amplitude, "Ramp.Spikes.AmplitudeCodes");
    }
}
