using System.Numerics;
using System.Runtime.CompilerServices;
using System.Runtime.Intrinsics;
using Acquire.Capture;

namespace Acquire.Sweeps;

// How near the scans of several lines lie to them.
internal sealed partial class LinesAhead
{
    private readonly double[] _mostOffs = new double[Padded];
    private readonly double[] _peaks = new double[Padded];
    private readonly int[] _wholeValues = new int[Padded];
    private readonly int[] _wholeSteps = new int[Padded];

    /// <summary>So few lines are not taken together.</summary>
    public const int FewLines = AtOnce;

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
        lines = MakeWhole(lines);
        Vector256<ushort> origin = Vector256.Create((ushort)_origin), mirrors = Vector256.Create(mirror), lanes = OwnLanes;
        for (int i = 0; i < lines; i += AtOnce)
        {
            int more = Math.Min(i + 1, lines - 1), third = Math.Min(i + 2, lines - 1), last = Math.Min(i + 3, lines - 1);
            MeasureOne(ref codes, i, lanes, origin, mirrors, out Vector256<short> offA, out Vector256<short> peakA);
            MeasureOne(ref codes, more, lanes, origin, mirrors, out Vector256<short> offB, out Vector256<short> peakB);
            MeasureOne(ref codes, third, lanes, origin, mirrors, out Vector256<short> offC, out Vector256<short> peakC);
            MeasureOne(ref codes, last, lanes, origin, mirrors, out Vector256<short> offD, out Vector256<short> peakD);
            RampRun.OffOf(Lanes.HighestOf(offA, offB, offC, offD)).StoreUnsafe(ref _mostOffs[0], (nuint)i);
            Lanes.Doubles(Lanes.HighestOf(peakA, peakB, peakC, peakD) + Vector128.Create(RampRun.PeakZero)).StoreUnsafe(ref _peaks[0], (nuint)i);
        }

        return lines;
    }

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private void MeasureOne(ref ushort codes, int line, Vector256<ushort> lanes, Vector256<ushort> origin, Vector256<ushort> mirrors, out Vector256<short> off, out Vector256<short> peak) =>
        RampRun.OffAndPeak(ref Unsafe.Add(ref codes, line * Length), Length, lanes, origin, _wholeValues[line], _wholeSteps[line], mirrors, out off, out peak);

    /// <summary>Puts values less the origin and steps in 1/65,536 codes, rounded down.</summary>
    /// <returns>How many lines lie near enough to the origin.</returns>
    private int MakeWhole(int lines)
    {
        const double Unit = 1.0 / (1 << 16);
        Vector256<double> origin = Vector256.Create(_origin * (double)(1 << 16)), length = Vector256.Create((double)Length);
        for (int i = 0; i < lines; i += AtOnce)
        {
            nuint at = (nuint)i;
            Vector256<double> value = Vector256.Floor(Vector256.LoadUnsafe(ref _values[0], at) * Unit) - origin, step = Vector256.Floor(Vector256.LoadUnsafe(ref _steps[0], at) * Unit);
            LowBits(value).StoreUnsafe(ref _wholeValues[0], at);
            LowBits(step).StoreUnsafe(ref _wholeSteps[0], at);
            Vector256<double> far = Vector256.GreaterThanOrEqual(Vector256.Abs(value) + (Vector256.Abs(step) * length), Vector256.Create((double)RampRun.MostOff * (1 << 16)));
            if (far.ExtractMostSignificantBits() is var lanes and not 0 && i + BitOperations.TrailingZeroCount(lanes) is var first && first < lines) return first;
        }

        return lines;

        // The last bits of a whole number plus this one are its own.
        static Vector128<int> LowBits(Vector256<double> whole)
        {
            Vector256<long> bits = (whole + Vector256.Create(Large)).AsInt64();
            return Vector128.Narrow(bits.GetLower(), bits.GetUpper());
        }
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
        for (int i = 1; i < lines; i += AtOnce)
        {
            // The last are looked at once more where there are not enough left.
            nuint at = (nuint)Math.Min(i, lines - AtOnce), before = at - 1;
            Vector256<double> value = Vector256.LoadUnsafe(ref _values[0], at), slope = Vector256.LoadUnsafe(ref _slopes[0], at) * sign;
            Vector256<double> peak = Vector256.LoadUnsafe(ref _peaks[0], at), lastPeak = Vector256.LoadUnsafe(ref _peaks[0], before);
            off = Vector256.Max(off, Vector256.LoadUnsafe(ref _mostOffs[0], at));
            least = Vector256.Min(least, slope);
            most = Vector256.Max(most, slope);
            join = Vector256.Max(join, Vector256.Abs(value - Vector256.LoadUnsafe(ref _values[0], before) - (Vector256.LoadUnsafe(ref _steps[0], before) * length)));
            above = Vector256.Max(above, (value * (sign * Unit)) + level - lastPeak);
            climb &= Vector256.GreaterThan(peak, lastPeak);
        }

        return new Together(Highest(off), -Highest(-least), Highest(most), Highest(join) * Unit, Highest(above), climb.ExtractMostSignificantBits() == (1 << AtOnce) - 1);
    }

    private static double Highest(Vector256<double> v)
    {
        Vector128<double> half = Vector128.Max(v.GetLower(), v.GetUpper());
        return double.MaxNative(half[0], half[1]);
    }
}
