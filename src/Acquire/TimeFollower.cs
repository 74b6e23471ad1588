using Acquire.Columns;
using Acquire.Sweeps;

namespace Acquire;

/// <summary>No ramp: passes of equal length that follow one another.</summary>
internal sealed class TimeFollower(double span, double? scanRateHz, int columns, Rebinner rebinner, ISweepListener listener) : RamplessFollower(listener)
{
    // Where a pass has fewer scans than columns, some columns stay unfilled: a longer pass would put scans at wrong times.
    private readonly long _passScans = ScansOf(span, scanRateHz, columns);

    /// <summary>Scans of one pass, rounded to whole ones.</summary>
    /// <param name="span">Its length in seconds, or in scans where no scan rate is known.</param>
    /// <param name="scanRateHz">Scans per second, or null.</param>
    /// <param name="columns">Columns: where nobody knows what time a scan takes, each has one at least.</param>
    public static long ScansOf(double span, double? scanRateHz, int columns) =>
        scanRateHz is { } rate ? (long)Math.Round(span * rate) : Math.Max(columns, (long)Math.Round(span));

    protected override void Take(long scan, long before, ushort rampCode)
    {
        // 128 bits are not needed: the setup's rules allow 2^46 scans, which times 65,536 columns fit 64.
        rebinner.PlaceAt(scan, (int)(before * columns / _passScans));
        if (before == _passScans - 1) EndWhole();
    }
}
