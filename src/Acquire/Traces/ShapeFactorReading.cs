using System.Runtime.InteropServices;

namespace Acquire.Traces;

/// <summary>How much wider a peak or notch is at an outer level than at an inner one: 1 for vertical sides.</summary>
/// <param name="Outcome">Whether both widths were found; otherwise why the first that was not found was not.</param>
/// <param name="Inner">The width close to the top, or to the shoulder.</param>
/// <param name="Outer">The width farther down.</param>
[StructLayout(LayoutKind.Auto)]
public readonly record struct ShapeFactorReading(MarkerOutcome Outcome, BandwidthReading Inner, BandwidthReading Outer)
{
    /// <summary>For a peak the outer width over the inner one, for a notch the inner over the outer, so that it is 1 or more. NaN where not found.</summary>
    public double ShapeFactor => Outcome != MarkerOutcome.Found ? double.NaN
        : Inner.Kind == BandwidthKind.Peak ? Outer.Width / Inner.Width : Inner.Width / Outer.Width;
}
