using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;

namespace Acquire.Sweeps;

/// <summary>Running sums of the ramp, modulo 2^64, up to a place.</summary>
/// <param name="End">One past the last scan summed.</param>
/// <param name="Sum">Of codes.</param>
/// <param name="Moment">Of codes times the index of their scan.</param>
[StructLayout(LayoutKind.Auto)]
internal readonly record struct RunningSums(long End, long Sum, long Moment)
{
    /// <summary>Line through the scans from here to further sums, at least one, and their mean.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public LineFit LineTo(in RunningSums to, out double mean)
    {
        long n = to.End - End, sum = unchecked(to.Sum - Sum);
        // First moment about the first scan; the subtraction is exact modulo 2^64.
        return Line(n, sum, unchecked(to.Moment - Moment - (End * sum)), out mean);
    }

    /// <summary>Line through scans.</summary>
    /// <param name="n">How many, at least 1.</param>
    /// <param name="sum">Of their codes.</param>
    /// <param name="moment">Of their codes times their place, 0 the first.</param>
    /// <param name="mean">Their mean.</param>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static LineFit Line(long n, long sum, long moment, out double mean)
    {
        mean = (double)sum / n;
        if (n < 2) return new LineFit(mean, 0, n);
        double count = n;
        double slope = ((2.0 * moment) - ((count - 1) * sum)) * 6 / (count * ((count * count) - 1));
        return new LineFit(mean + (slope * (count - 1) / 2), slope, n);
    }
}
