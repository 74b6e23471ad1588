using Acquire.Scales;

namespace Acquire.Columns;

/// <summary>How scans become columns.</summary>
public sealed record ColumnOptions
{
    /// <summary>Fewest columns.</summary>
    public const int MinColumns = 2;

    /// <summary>Most columns.</summary>
    public const int MaxColumns = 65_536;

    /// <summary>Columns of a trace.</summary>
    /// <value>2 to 65,536; default 1,000, about what a tube of 10 cm resolves.</value>
    public int ColumnCount { get; init; } = 1_000;

    /// <summary>How a scan finds its column; default <see cref="Placement.Fitted"/>.</summary>
    public Placement Placement { get; init; } = Placement.Fitted;

    /// <summary>Ripple on the ramp is real: it tunes the oscillator and is not taken out by fitted placement. Default false.</summary>
    public bool RippleIsReal { get; init; }

    /// <summary>Averaging domains that are summed; each costs one addition per scan. Default none: averages of codes and volts only.</summary>
    public IReadOnlyList<AveragingDomain> Domains { get; init; } = [];

    /// <summary>Scans by which a vertical is read after the ramp: it is filed under the ramp at that later time.</summary>
    /// <value>0 to 1, finite; default 0.</value>
    public double SkewScans { get; init; }

    /// <summary>Time by which the vertical lags the ramp inside the instrument (video filter), in seconds.</summary>
    /// <value>0 or more, finite; default 0. Needs a scan rate when it is not 0.</value>
    public double VideoDelaySeconds { get; init; }

    /// <summary>Time after a retrace during which readings are flagged, in seconds; null is five video delays.</summary>
    public double? SettleSeconds { get; init; }

    /// <summary>Sweeps over which a column without new scans keeps its last value; 0 (the default) leaves it unfilled.</summary>
    public int FillOverSweeps { get; init; }
}
