using Acquire.Capture;
using Acquire.Columns;
using Acquire.Scales;
using Acquire.Sweeps;
using Acquire.Traces;

namespace Acquire;

/// <summary>Everything a person sets: channels, scales, how sweeps are found, sweep axis, columns and their averaging domains, what traces keep, the instrument's settings. Immutable; another setup is another engine.</summary>
public sealed record Setup
{
    /// <summary>Channels, bits and scan rate.</summary>
    public ScanFormat Scan { get; init; } = new();

    /// <summary>Ramp codes to volts, or null: edges are in codes.</summary>
    public CodeVolts? RampVolts { get; init; }

    /// <summary>What the verticals' codes stand for, one per vertical in channel order; missing ones are plain codes.</summary>
    public IReadOnlyList<VerticalScale> Verticals { get; init; } = [];

    /// <summary>How sweeps are found.</summary>
    public SweepOptions Sweep { get; init; } = new();

    /// <summary>What the screen's width stands for, or null: results are placed in per cent of the ramp.</summary>
    public SweepAxis? Axis { get; init; }

    /// <summary>How scans become columns.</summary>
    public ColumnOptions Columns { get; init; } = new();

    /// <summary>What is kept across sweeps.</summary>
    public TraceOptions Traces { get; init; } = new();

    /// <summary>What the instrument was set to, for the record.</summary>
    public InstrumentSettings Settings { get; init; } = new();

    /// <summary>Scale of one vertical, plain codes where the setup names none.</summary>
    /// <param name="vertical">0 is the first vertical in channel order.</param>
    /// <exception cref="ArgumentOutOfRangeException">The number is negative.</exception>
    public VerticalScale VerticalScaleOf(int vertical)
    {
        ArgumentOutOfRangeException.ThrowIfNegative(vertical);
        return vertical < Verticals.Count ? Verticals[vertical] : new VerticalScale();
    }
}
