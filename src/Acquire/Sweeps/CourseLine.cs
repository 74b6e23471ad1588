using System.Runtime.InteropServices;

namespace Acquire.Sweeps;

/// <summary>A part of the course: scans that lie on one line.</summary>
/// <param name="Start">First scan.</param>
/// <param name="End">One past the last.</param>
/// <param name="Value">Course at the first scan, in 2^-32 codes.</param>
/// <param name="Step">From one scan to the next, in 2^-32 codes; the course is rounded down to 2^-16 codes.</param>
/// <param name="Slope">Codes per scan.</param>
/// <param name="MostOff">Where the mean of 16 scans lies off by more, in codes, the ramp has left it.</param>
[StructLayout(LayoutKind.Auto)]
internal readonly record struct CourseLine(long Start, long End, long Value, long Step, double Slope, double MostOff)
{
    /// <summary>Scans of the shortest that is drawn on over more than one; all lengths are powers of two.</summary>
    public const int Shortest = 4;

    /// <summary>Course at the first scan, in codes, not rounded.</summary>
    public double First => Value * (1.0 / (1L << 32));

    /// <summary>Course at a scan, in codes, not rounded.</summary>
    public double At(long scan) => (Value + (Step * (double)(scan - Start))) / (1L << 32);

    /// <summary>Course at a scan, in codes, as it is placed.</summary>
    public double Placed(long scan) => (double)((Value + (Step * (scan - Start))) >> 16) / (1 << 16);

    /// <summary>The same line from another scan on.</summary>
    public CourseLine From(long scan) => this with { Start = scan, Value = Value + (Step * (scan - Start)) };

    /// <summary>The same line as far as a scan.</summary>
    /// <param name="end">One past the last.</param>
    public CourseLine UpTo(long end) => this with { End = end };

    /// <summary>A line in whole numbers, which the ramp has not left.</summary>
    /// <param name="start">First scan.</param>
    /// <param name="end">One past the last.</param>
    /// <param name="first">Its value at the first scan, in codes.</param>
    /// <param name="slope">Codes per scan.</param>
    public static CourseLine Of(long start, long end, double first, double slope) =>
        new(start, end, (long)Math.Round(first * (1L << 32)), (long)Math.Round(slope * (1L << 32)), slope, double.PositiveInfinity);
}
