using Acquire.Columns;
using Acquire.Sweeps;

namespace Acquire;

/// <summary>One ended sweep as the sink sees it: views of the engine's own memory, valid until the sink's method returns.</summary>
public readonly ref struct SweepView
{
    /// <summary>Makes a view.</summary>
    /// <param name="info">What is known of the sweep.</param>
    /// <param name="axis">Where its columns lie on the ramp.</param>
    /// <param name="verticals">Columns of each vertical, in channel order.</param>
    public SweepView(SweepInfo info, ColumnAxis axis, ReadOnlySpan<ColumnStatistics> verticals)
    {
        Info = info;
        Axis = axis;
        Verticals = verticals;
    }

    /// <summary>What is known of the sweep.</summary>
    public SweepInfo Info { get; }

    /// <summary>Where its columns lie on the ramp.</summary>
    public ColumnAxis Axis { get; }

    /// <summary>Columns of each vertical, in channel order; column 0 is where the beam starts.</summary>
    public ReadOnlySpan<ColumnStatistics> Verticals { get; }
}
