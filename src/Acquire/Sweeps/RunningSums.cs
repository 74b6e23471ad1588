using System.Runtime.InteropServices;

namespace Acquire.Sweeps;

/// <summary>Running sums of the ramp, modulo 2^64, up to a place.</summary>
/// <param name="End">One past the last scan summed.</param>
/// <param name="Sum">Of codes.</param>
/// <param name="Moment">Of codes times the index of their scan.</param>
[StructLayout(LayoutKind.Auto)]
internal readonly record struct RunningSums(long End, long Sum, long Moment)
{
    /// <summary>Mean of the scans from here to further sums.</summary>
    public double MeanTo(in RunningSums to) => (double)unchecked(to.Sum - Sum) / (to.End - End);

    /// <summary>Line through the scans from here to further sums, at least one, and their mean.</summary>
    public LineFit LineTo(in RunningSums to, out double mean)
    {
        long n = to.End - End, sum = unchecked(to.Sum - Sum);
        mean = (double)sum / n;
        if (n < 2) return new LineFit(mean, 0, n);
        // First moment about the first scan; the subtraction is exact modulo 2^64.
        long moment = unchecked(to.Moment - Moment - (End * sum));
        double count = n;
        double slope = ((2.0 * moment) - ((count - 1) * sum)) * 6 / (count * ((count * count) - 1));
        return new LineFit(mean + (slope * (count - 1) / 2), slope, n);
    }
}
