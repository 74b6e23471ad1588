using Acquire.Columns;
using Acquire.Scales;

namespace Acquire.Traces;

/// <summary>Everything that decides whether two traces may be compared: what was taken, where its columns lie, and with which settings.</summary>
public sealed record TraceConditions
{
    /// <summary>What the values are.</summary>
    public required ValueChoice Choice { get; init; }

    /// <summary>What the vertical's codes stand for.</summary>
    public required VerticalScale Scale { get; init; }

    /// <summary>Highest valid code of the vertical.</summary>
    public required int FullCode { get; init; }

    /// <summary>Where the columns lie on the ramp.</summary>
    public required ColumnAxis Axis { get; init; }

    /// <summary>Ramp codes to volts, or null where nobody said.</summary>
    public CodeVolts? RampVolts { get; init; }

    /// <summary>What the screen's width stands for, or null where nobody said.</summary>
    public SweepAxis? SweepAxis { get; init; }

    /// <summary>How scans found their columns.</summary>
    public Placement Placement { get; init; } = Placement.Fitted;

    /// <summary>What the instrument was set to.</summary>
    public InstrumentSettings Settings { get; init; } = new();
}
