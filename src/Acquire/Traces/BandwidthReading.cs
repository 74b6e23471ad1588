using System.Runtime.InteropServices;

namespace Acquire.Traces;

/// <summary>The width of a peak or a notch at one level.</summary>
/// <remarks>Members other than <see cref="Outcome"/> have no meaning where it was not found.</remarks>
[StructLayout(LayoutKind.Auto)]
public readonly record struct BandwidthReading
{
    /// <summary>Whether it was found, and if not, why.</summary>
    public MarkerOutcome Outcome { get; init; }

    /// <summary>Whether it was found.</summary>
    public bool IsFound => Outcome == MarkerOutcome.Found;

    /// <summary>Peak or notch.</summary>
    public BandwidthKind Kind { get; init; }

    /// <summary>The top of the peak, or the bottom of the notch.</summary>
    public MarkerReading Extreme { get; init; }

    /// <summary>Level at which the width was asked for, in decibels from <see cref="ReferenceValue"/>; negative.</summary>
    public double LevelDb { get; init; }

    /// <summary>What the level counts from: the peak's top, or the notch's shoulder, in the unit of the values.</summary>
    public double ReferenceValue { get; init; }

    /// <summary>The lower of both edges, in the unit of the positions, interpolated between column centres.</summary>
    public double Lower { get; init; }

    /// <summary>The higher of both edges.</summary>
    public double Upper { get; init; }

    /// <summary>An edge was interpolated across unfilled columns.</summary>
    public bool Bridged { get; init; }

    /// <summary>Half way between the edges.</summary>
    public double Centre => (Lower + Upper) / 2;

    /// <summary>Geometric mean of the edges, the centre of a filter that was made of a low-pass by the usual transform. NaN unless both are positive.</summary>
    public double GeometricCentre => Lower > 0 ? Math.Sqrt(Lower * Upper) : double.NaN;

    /// <summary>Distance of the edges.</summary>
    public double Width => Upper - Lower;

    /// <summary>Centre over width.</summary>
    public double Q => Centre / Width;
}
