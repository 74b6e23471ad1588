namespace Acquire.Sources.Synthetic;

/// <summary>A halt in every sweep, as when an instrument changes its band: the ramp stands still, then goes on; it stays one sweep.</summary>
/// <param name="AtShare">Share of the sweep's moving time after which the ramp halts, 0.001 to 0.999.</param>
/// <param name="Scans">Length of the halt in scans, above 0.</param>
/// <param name="Blanked">Whether the beam is off meanwhile; those scans count as blanked.</param>
public sealed record PauseModel(double AtShare, double Scans, bool Blanked = false)
{
    internal void Validate()
    {
        Check.Range(AtShare, 0.001, 0.999, "Ramp.Pause.AtShare", "a share of the sweep's moving time");
        Check.Range(Scans, double.Epsilon, 1e12, "Ramp.Pause.Scans", "a length in scans");
    }
}
