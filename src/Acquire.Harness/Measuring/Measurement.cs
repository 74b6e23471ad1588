using Acquire.Scales;
using Acquire.Traces;

namespace Acquire.Harness.Measuring;

/// <summary>What came out of one run: a trace of one vertical, its markers and widths.</summary>
internal sealed record Measurement
{
    /// <summary>Sweep axis, or null: positions are in per cent of the ramp.</summary>
    public SweepAxis? Axis { get; init; }

    /// <summary>Channel of the vertical, or null where there is only one.</summary>
    public int? VerticalChannel { get; init; }

    /// <summary>Complete sweeps that the trace is made of.</summary>
    public required int SweepsUsed { get; init; }

    /// <summary>Number of the last sweep used.</summary>
    public long LastSweepNumber { get; init; }

    /// <summary>Level offset with which a reference of other settings was allowed, in decibels.</summary>
    public double ReferenceOffsetDb { get; init; }

    /// <summary>Sweeps of the reference, or null where there is none.</summary>
    public int? ReferenceSweepsUsed { get; init; }

    /// <summary>Mean time of the sweeps used, or null where no scan rate is known or the sweep is not complete.</summary>
    public double? SweepTimeSeconds { get; init; }

    /// <summary>Unit of values as printed.</summary>
    public required string Unit { get; init; }

    /// <summary>Name of the detector.</summary>
    public required string Detector { get; init; }

    /// <summary>Domain in which averages were taken, or null.</summary>
    public string? Domain { get; init; }

    /// <summary>How scans were placed.</summary>
    public required string Placement { get; init; }

    /// <summary>Columns at the start whose readings fall in the settling time after a retrace.</summary>
    public int SettlingColumns { get; init; }

    /// <summary>Centres of the columns.</summary>
    public required double[] Positions { get; init; }

    /// <summary>One value per column, NaN where unfilled.</summary>
    public required double[] Values { get; init; }

    /// <summary>Lowest reading of each column, or null where the trace is an average over sweeps or a difference.</summary>
    public double[]? Lowest { get; init; }

    /// <summary>Highest reading of each column, or null likewise.</summary>
    public double[]? Highest { get; init; }

    /// <summary>Whether the column's value may be relied on.</summary>
    public required bool[] Trusted { get; init; }

    /// <summary>Whether the column shows "at or below" its value, or null where no floor is known.</summary>
    public bool[]? AtOrBelow { get; init; }

    /// <summary>Scans per column, over all sweeps used.</summary>
    public required long[] Counts { get; init; }

    /// <summary>Markers asked for.</summary>
    public IReadOnlyList<PlacedMarker> Markers { get; init; } = [];

    /// <summary>Widths asked for.</summary>
    public IReadOnlyList<BandwidthReading> Bandwidths { get; init; } = [];

    /// <summary>What a reader should know, one line each.</summary>
    public IReadOnlyList<string> Notes { get; init; } = [];
}
