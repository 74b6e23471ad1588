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
    /// <summary>Course at a scan, in codes, not rounded.</summary>
    public double At(long scan) => (Value + (Step * (double)(scan - Start))) / (1L << 32);
}
