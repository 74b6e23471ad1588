namespace Acquire.Sources.Synthetic;

/// <summary>A point at which the ramp changes its slope.</summary>
/// <param name="AtShare">Share of the sweep's moving time at which it lies, 0.01 to 0.99.</param>
/// <param name="Fraction">Part of the way that the ramp has gone by then, 0.01 to 0.99; equal to <paramref name="AtShare"/> is no kink.</param>
public sealed record Kink(double AtShare, double Fraction)
{
    internal void Validate()
    {
        Check.Range(AtShare, 0.01, 0.99, "Ramp.Kink.AtShare", "a share of the sweep's moving time");
        Check.Range(Fraction, 0.01, 0.99, "Ramp.Kink.Fraction", "a part of the way");
    }
}
