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
    /// <param name="marks">Marks of its columns, the same for all verticals; empty for none.</param>
    public SweepView(SweepInfo info, ColumnAxis axis, ReadOnlySpan<ColumnStatistics> verticals, ReadOnlySpan<ColumnMarks> marks = default)
    {
        Info = info;
        Axis = axis;
        Verticals = verticals;
        Marks = marks;
    }

    /// <summary>What is known of the sweep.</summary>
    public SweepInfo Info { get; }

    /// <summary>Where its columns lie on the ramp.</summary>
    public ColumnAxis Axis { get; }

    /// <summary>Columns of each vertical, in channel order; column 0 is where the beam starts.</summary>
    public ReadOnlySpan<ColumnStatistics> Verticals { get; }

    /// <summary>Marks of the columns, the same for all verticals: suspect, settling. Empty where there are none.</summary>
    public ReadOnlySpan<ColumnMarks> Marks { get; }
}
