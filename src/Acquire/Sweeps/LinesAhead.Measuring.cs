using System.Runtime.CompilerServices;
using System.Runtime.Intrinsics;
using Acquire.Capture;

namespace Acquire.Sweeps;

// How near the scans of several lines lie to them.
internal sealed partial class LinesAhead
{
    private readonly double[] _mostOffs = new double[Padded];
    private readonly double[] _peaks = new double[Padded];

    /// <summary>So few lines are not taken together.</summary>
    public const int FewLines = Lanes4;

    /// <summary>Most that a scan of each line lies off it, see <see cref="RampRun.Off"/>.</summary>
    public ReadOnlySpan<double> MostOffs => _mostOffs;

    /// <summary>Highest of the lower of two neighbours of each line, see <see cref="RampRun.Peak"/>.</summary>
    public ReadOnlySpan<double> Peaks => _peaks;

    /// <summary>Measures lines that were worked out.</summary>
    /// <param name="codes">Place of the first scan, as it was given to <see cref="Sum"/>; the scan before it is there too.</param>
    /// <param name="lines">How many.</param>
    /// <param name="mirror">0, or the full code where the ramp falls.</param>
    /// <returns>How many of them could be measured, up to the first that leads too far away.</returns>
    [MethodImpl(MethodImplOptions.NoInlining)]
    public int Measure(ref ushort codes, int lines, ushort mirror)
    {
        Vector256<ushort> origins = Vector256.Create((ushort)_origin), mirrors = Vector256.Create(mirror);
        for (int i = 0; i < lines; i++)
        {
            long line = ((long)_values[i] >> 16) - ((long)_origin << 16), step = (long)_steps[i] >> 16;
            if (Lanes.Size(line) + (Lanes.Size(step) * Length) >= (long)RampRun.MostOff << 16) return i;
            (_mostOffs[i], _peaks[i]) = RampRun.OffAndPeak(ref Unsafe.Add(ref codes, i * Length), Length, origins, (int)line, (int)step, mirrors);
        }

        return lines;
    }

    /// <summary>Lines that were measured taken together.</summary>
    /// <param name="MostOff">Most that a scan lies off its line.</param>
    /// <param name="LeastSlope">Least slope, the ramp taken to rise.</param>
    /// <param name="MostSlope">Most.</param>
    /// <param name="MostJoin">Most by which a line begins above or below where the one before it leads to.</param>
    /// <param name="MostAbove">Most by which a line begins above the peak of the one before it.</param>
    /// <param name="Climb">Each line has a higher peak than the one before it.</param>
    public readonly record struct Together(double MostOff, double LeastSlope, double MostSlope, double MostJoin, double MostAbove, bool Climb);

    /// <summary>Takes lines together.</summary>
    /// <param name="lines">How many, more than <see cref="FewLines"/>.</param>
    /// <param name="mirror">As it was given to <see cref="Measure"/>.</param>
    [MethodImpl(MethodImplOptions.NoInlining)]
    public Together Look(int lines, ushort mirror)
    {
        const double Unit = 1.0 / (1L << 32);
        var sign = Vector256.Create(mirror == 0 ? 1.0 : -1);
        Vector256<double> length = Vector256.Create((double)Length), level = Vector256.Create((double)mirror);
        Vector256<double> off = Vector256.Create(_mostOffs[0]), least = Vector256.Create(_slopes[0]) * sign, most = least, join = default, above = Vector256.Create(double.NegativeInfinity);
        Vector256<double> climb = Vector256<double>.AllBitsSet;
        for (int i = 1; i < lines; i += Lanes4)
        {
            // The last are looked at once more where there are not enough left.
            nuint at = (nuint)Math.Min(i, lines - Lanes4), before = at - 1;
            Vector256<double> value = Vector256.LoadUnsafe(ref _values[0], at), slope = Vector256.LoadUnsafe(ref _slopes[0], at) * sign;
            Vector256<double> peak = Vector256.LoadUnsafe(ref _peaks[0], at), lastPeak = Vector256.LoadUnsafe(ref _peaks[0], before);
            off = Vector256.Max(off, Vector256.LoadUnsafe(ref _mostOffs[0], at));
            least = Vector256.Min(least, slope);
            most = Vector256.Max(most, slope);
            join = Vector256.Max(join, Vector256.Abs(value - Vector256.LoadUnsafe(ref _values[0], before) - (Vector256.LoadUnsafe(ref _steps[0], before) * length)));
            above = Vector256.Max(above, (value * (sign * Unit)) + level - lastPeak);
            climb &= Vector256.GreaterThan(peak, lastPeak);
        }

        return new Together(Highest(off), -Highest(-least), Highest(most), Highest(join) * Unit, Highest(above), climb.ExtractMostSignificantBits() == (1 << Lanes4) - 1);
    }

    private static double Highest(Vector256<double> v)
    {
        Vector128<double> half = Vector128.Max(v.GetLower(), v.GetUpper());
        return double.MaxNative(half[0], half[1]);
    }
}
