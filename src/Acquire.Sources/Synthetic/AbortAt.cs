namespace Acquire.Sources.Synthetic;

/// <summary>One sweep that flies back early.</summary>
/// <param name="InstrumentSweep">Number of the sweep as the instrument counts, from 0.</param>
/// <param name="Share">Share of the sweep time after which it flies back, 0.001 to 0.999.</param>
public sealed record AbortAt(long InstrumentSweep, double Share)
{
    internal void Validate() => Check.Range(Share, 0.001, 0.999, "Sweep.Aborts.Share", "a share of the sweep time");
}
