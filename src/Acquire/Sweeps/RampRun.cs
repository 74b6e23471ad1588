using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;
using System.Runtime.Intrinsics;
using Acquire.Capture;

namespace Acquire.Sweeps;

/// <summary>What is to be known of some scans of a ramp that lie on one line, so that none of them needs to be looked at alone.</summary>
[StructLayout(LayoutKind.Auto)]
internal struct RampRun
{
    /// <summary>Most that a code may differ from the first: sums of squares fit 32 bits, and an eighth of a code 16 bits.</summary>
    public const int MostOff = 4_095;

    /// <summary>Most scans: sums of codes times their place fit 32 bits.</summary>
    public const int MostScans = 512;

    /// <summary>Codes of 16 bits less so many are numbers of 16 bits with a sign.</summary>
    public const int PeakZero = 1 << 15;

    // The line is held in eighths of a code, rounded down twice, and its step is rounded by 2^-16 codes in each of 512 scans.
    private const int EighthBits = 3;
    private const int LineBits = 16 - EighthBits;
    private const double Rounding = 0.26;

    /// <summary>Code of the first scan; sums are of what the codes are above it.</summary>
    public int Origin;

    /// <summary>Sum.</summary>
    public int Sum;

    /// <summary>Sum of each times its place, 0 the first.</summary>
    public int Moment;

    /// <summary>Sum of squares.</summary>
    public long Squares;

    /// <summary>Most that a scan lies off the line either way, in codes, or a little more.</summary>
    public double Off;

    /// <summary>Highest of the lower of two neighbours, the ramp taken to rise.</summary>
    public int Peak;

    /// <summary>Measures scans.</summary>
    /// <param name="codes">Place of the first; the scan before it is there too. None is further from it than <see cref="MostOff"/>.</param>
    /// <param name="scans">A multiple of 16, at most <see cref="MostScans"/>.</param>
    /// <param name="line">Line less <see cref="Origin"/> at the first scan, in 1/65,536 codes.</param>
    /// <param name="step">Step of the line, in 1/65,536 codes.</param>
    /// <param name="mirror">0, or the full code where the ramp falls.</param>
    /// <param name="run">What they measure.</param>
    [MethodImpl(MethodImplOptions.NoInlining)]
    public static void Measure(ref ushort codes, int scans, int line, int step, ushort mirror, out RampRun run)
    {
        run.Origin = codes;
        var origin = Vector256.Create(codes);
        var ones = Vector256<short>.One;
        Vector256<short> places = Vector256<short>.Indices, sixteen = Vector256.Create((short)16), along = Along(step);
        Vector256<int> sum = default, moment = default, squares = default;
        Vector256<ushort> peak = default, least = Vector256<ushort>.AllBitsSet;
        var under = Vector256.Create(short.MaxValue);
        var over = Vector256.Create(short.MinValue);
        for (nuint i = 0; i < (nuint)scans; i += 16, line += 16 * step)
        {
            Vector256<ushort> now = Vector256.LoadUnsafe(ref codes, i), before = Vector256.LoadUnsafe(ref Unsafe.Subtract(ref codes, 1), i);
            Vector256<short> above = (now - origin).AsInt16();
            sum += Lanes.PairProducts(above, ones);
            moment += Lanes.PairProducts(above, places);
            squares += Lanes.PairProducts(above, above);
            places += sixteen;
            Vector256<short> off = Lanes.Difference(above << EighthBits, along + Vector256.Create((short)(line >> LineBits)));
            under = Vector256.Min(under, off);
            over = Vector256.Max(over, off);
            if (mirror == 0) peak = Vector256.Max(peak, Vector256.Min(now, before));
            else least = Vector256.Min(least, Vector256.Max(now, before));
        }

        (run.Sum, run.Moment) = Lanes.SumsOf(sum, moment);
        run.Squares = Lanes.SumOfPositive(squares);
        run.Peak = mirror == 0 ? Lanes.Highest(peak) : mirror - Lanes.Lowest(least);
        run.Off = (Lanes.Highest(Vector256.Max(over, Lanes.Difference(default, under))) * (1.0 / (1 << EighthBits))) + Rounding;
    }

    /// <summary>Measures how far scans lie off a line and how high they reach, as <see cref="Measure"/>, each in as many parts as a vector has lanes.</summary>
    /// <param name="codes">Place of the first; the scan before it is there too, and 16 from it on.</param>
    /// <param name="scans">A multiple of 16, or fewer.</param>
    /// <param name="lanes">All ones in the lanes that count, the first <paramref name="scans"/> where these are fewer.</param>
    /// <param name="origin">A code that none is further from than <see cref="MostOff"/>.</param>
    /// <param name="line">Line less that code at the first scan, in 1/65,536 codes.</param>
    /// <param name="step">Step of the line, in 1/65,536 codes.</param>
    /// <param name="mirrors">0, or the full code where the ramp falls, which is all ones in as many bits as codes have.</param>
    /// <param name="off">Most that a scan lies off the line either way, see <see cref="OffOf"/>.</param>
    /// <param name="peak">Highest of the lower of two neighbours, less <see cref="PeakZero"/>.</param>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static void OffAndPeak(
        ref ushort codes, int scans, Vector256<ushort> lanes, Vector256<ushort> origin, int line, int step, Vector256<ushort> mirrors, out Vector256<short> off, out Vector256<short> peak)
    {
        Vector256<short> along = Along(step), under = Vector256.Create(short.MaxValue), over = Vector256.Create(short.MinValue);
        Vector256<ushort> most = default;
        for (nuint i = 0; i < (nuint)scans; i += 16, line += 16 * step)
        {
            Vector256<ushort> now = Vector256.LoadUnsafe(ref codes, i), before = Vector256.LoadUnsafe(ref Unsafe.Subtract(ref codes, 1), i);
            Vector256<short> some = Lanes.Difference((now - origin).AsInt16() << EighthBits, along + Vector256.Create((short)(line >> LineBits)));
            under = Vector256.Min(under, some);
            over = Vector256.Max(over, some);
            most = Vector256.Max(most, Vector256.Min(now ^ mirrors, before ^ mirrors));
        }

        // Neither is ever below nothing.
        off = Vector256.Max(over, Lanes.Difference(default, under)) & lanes.AsInt16();
        peak = ((most & lanes) ^ Vector256.Create((ushort)PeakZero)).AsInt16();
    }

    /// <summary>How far the lower of two neighbours lies above a line at most, and the higher below it, in codes, or a little more; as <see cref="Measure"/>.</summary>
    public static (double Most, double Least) PairsOff(ref ushort codes, int scans, int line, int step)
    {
        if (Lanes.Size(codes - Unsafe.Subtract(ref codes, 1)) > MostOff) return (double.PositiveInfinity, double.PositiveInfinity);
        var origin = Vector256.Create(codes);
        Vector256<short> along = Along(step), most = Vector256.Create(short.MinValue), least = Vector256.Create(short.MaxValue);
        for (nuint i = 0; i < (nuint)scans; i += 16, line += 16 * step)
        {
            Vector256<ushort> now = Vector256.LoadUnsafe(ref codes, i), before = Vector256.LoadUnsafe(ref Unsafe.Subtract(ref codes, 1), i);
            Vector256<short> on = along + Vector256.Create((short)(line >> LineBits));
            most = Vector256.Max(most, Lanes.Difference((Vector256.Min(now, before) - origin).AsInt16() << EighthBits, on));
            least = Vector256.Min(least, Lanes.Difference((Vector256.Max(now, before) - origin).AsInt16() << EighthBits, on));
        }

        return ((Lanes.Highest(most) * (1.0 / (1 << EighthBits))) + Rounding, (Lanes.Highest(Lanes.Difference(default, least)) * (1.0 / (1 << EighthBits))) + Rounding);
    }

    /// <summary>In codes what was measured in whole numbers, or a little more.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Vector256<double> OffOf(Vector128<int> measured) => (Lanes.Doubles(measured) * (1.0 / (1 << EighthBits))) + Vector256.Create(Rounding);

    /// <summary>Measures the sums of scans only, but for those of squares; as <see cref="Measure"/>.</summary>
    public static void Sums(ref ushort codes, int scans, out RampRun run)
    {
        run = default;
        run.Origin = codes;
        var origin = Vector256.Create(codes);
        Vector256<short> places = Vector256<short>.Indices, sixteen = Vector256.Create((short)16);
        Vector256<int> sum = default, moment = default;
        for (nuint i = 0; i < (nuint)scans; i += 16, places += sixteen)
        {
            Vector256<short> above = (Vector256.LoadUnsafe(ref codes, i) - origin).AsInt16();
            sum += Lanes.PairProducts(above, Vector256<short>.One);
            moment += Lanes.PairProducts(above, places);
        }

        (run.Sum, run.Moment) = Lanes.SumsOf(sum, moment);
    }

    /// <summary>As <see cref="Sums(ref ushort, int, out RampRun)"/> with those of squares, each in as many parts as a vector has lanes.</summary>
    /// <param name="codes">Place of the first scan; there are 16 from it on.</param>
    /// <param name="scans">A multiple of 16, at most <see cref="LinesAhead.Longest"/>, or fewer.</param>
    /// <param name="lanes">All ones in the lanes that count, the first <paramref name="scans"/> where these are fewer.</param>
    /// <param name="origin">Sums are of what the codes are above it; none is further from it than <see cref="MostOff"/>.</param>
    /// <param name="sum">Sum.</param>
    /// <param name="moment">Sum of each times its place, 0 the first.</param>
    /// <param name="squares">Sum of squares.</param>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static void Sums(ref ushort codes, int scans, Vector256<ushort> lanes, Vector256<ushort> origin, out Vector256<int> sum, out Vector256<int> moment, out Vector256<int> squares)
    {
        Vector256<short> places = Vector256<short>.Indices, sixteen = Vector256.Create((short)16);
        sum = moment = squares = default;
        for (nuint i = 0; i < (nuint)scans; i += 16, places += sixteen)
        {
            Vector256<short> above = ((Vector256.LoadUnsafe(ref codes, i) - origin) & lanes).AsInt16();
            sum += Lanes.PairProducts(above, Vector256<short>.One);
            moment += Lanes.PairProducts(above, places);
            squares += Lanes.PairProducts(above, above);
        }
    }

    // What a line of this step adds to its value at the first of 16 scans, in eighths of a code.
    private static Vector256<short> Along(int step)
    {
        Vector256<int> first = Vector256<int>.Indices * step, second = first + Vector256.Create(8 * step);
        return Vector256.Narrow(first >> LineBits, second >> LineBits);
    }

    /// <summary>Place of the first scan where the lower of it and the one before is <paramref name="peak"/>.</summary>
    /// <param name="peak">There is such a scan.</param>
    /// <param name="codes">Place of the first of the scans.</param>
    /// <param name="from">A multiple of 16; it lies at or after this.</param>
    /// <param name="mirror">0, or the full code where the ramp falls.</param>
    public static int PlaceOf(int peak, ref ushort codes, int from, ushort mirror)
    {
        var wanted = Vector256.Create((ushort)peak);
        var mirrors = Vector256.Create(mirror);
        for (nuint i = (nuint)from; ; i += 16)
        {
            uint bits = Are(wanted, mirrors, ref codes, i).ExtractMostSignificantBits();
            if (bits != 0) return (int)i + System.Numerics.BitOperations.TrailingZeroCount(bits);
        }
    }

    /// <summary>As <see cref="PlaceOf"/> among the first 64 scans, without a branch that would be guessed wrong.</summary>
    /// <param name="peak">There is such a scan.</param>
    /// <param name="codes">Place of the first of the scans; 64 can be read.</param>
    /// <param name="mirror">0, or the full code where the ramp falls.</param>
    public static int PlaceOfFew(int peak, ref ushort codes, ushort mirror)
    {
        Vector256<ushort> wanted = Vector256.Create((ushort)peak), mirrors = Vector256.Create(mirror);
        return System.Numerics.BitOperations.TrailingZeroCount(Lanes.Bits(
            Are(wanted, mirrors, ref codes, 0), Are(wanted, mirrors, ref codes, 16), Are(wanted, mirrors, ref codes, 32), Are(wanted, mirrors, ref codes, 48)));
    }

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static Vector256<ushort> Are(Vector256<ushort> wanted, Vector256<ushort> mirrors, ref ushort codes, nuint at)
    {
        Vector256<ushort> now = Vector256.LoadUnsafe(ref codes, at), before = Vector256.LoadUnsafe(ref Unsafe.Subtract(ref codes, 1), at);
        return Vector256.Equals(Vector256.Min(now ^ mirrors, before ^ mirrors), wanted);
    }

    /// <summary>Most that the mean of 16 scans lies off the line, in codes, or a little more; as <see cref="Measure"/>.</summary>
    public static double MostMeanOff(ref ushort codes, int scans, int line, int step)
    {
        var origin = Vector256.Create(codes);
        Vector256<short> along = Along(step);
        Vector128<int> most = default;
        int own = 16 * step;
        nuint i = 0;
        for (; i + 64 <= (nuint)scans; i += 64, line += 4 * own)
        {
            most = Vector128.Max(most, Vector128.Abs(Lanes.SumsOf(
                OffsInPairs(ref codes, i, origin, along, line), OffsInPairs(ref codes, i + 16, origin, along, line + own),
                OffsInPairs(ref codes, i + 32, origin, along, line + (2 * own)), OffsInPairs(ref codes, i + 48, origin, along, line + (3 * own)))));
        }

        for (; i < (nuint)scans; i += 16, line += own)
            most = Vector128.Max(most, Vector128.Abs(Vector128.CreateScalar(Vector256.Sum(OffsInPairs(ref codes, i, origin, along, line)))));
        return (Math.Max(Math.Max(most[0], most[1]), Math.Max(most[2], most[3])) * (1.0 / (16 << EighthBits))) + Rounding;
    }

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static Vector256<int> OffsInPairs(ref ushort codes, nuint at, Vector256<ushort> origin, Vector256<short> along, int line) => Lanes.PairProducts(
        Lanes.Difference((Vector256.LoadUnsafe(ref codes, at) - origin).AsInt16() << EighthBits, along + Vector256.Create((short)(line >> LineBits))), Vector256<short>.One);

    /// <summary>Whether a scan may be taken for a spike: beyond both neighbours, or off the line through the scans before it with the one after back on it.</summary>
    /// <param name="codes">Place of the first; three scans before it and one after the last are there too.</param>
    /// <param name="scans">A multiple of 16.</param>
    /// <param name="beyond">Codes by which a spike lies beyond both its neighbours, or more.</param>
    /// <param name="off">Codes by which a spike lies off the line, or more.</param>
    /// <param name="back">Codes by which the scan after it lies off the line at most, or a quarter of the line's slope if that is more.</param>
    public static bool MayHoldSpike(ref ushort codes, int scans, double beyond, double off, double back)
    {
        if (off > short.MaxValue / 2) return true;
        Vector256<short> most = default, tip = default, leastBack = Vector256.Create((short)Math.Min(back, short.MaxValue));
        for (nuint i = 0; i < (nuint)scans; i += 16)
        {
            Vector256<short> now = Vector256.LoadUnsafe(ref codes, i).AsInt16(), before = Vector256.LoadUnsafe(ref Unsafe.Subtract(ref codes, 1), i).AsInt16();
            Vector256<short> after = Vector256.LoadUnsafe(ref Unsafe.Add(ref codes, 1), i).AsInt16(), first = Vector256.LoadUnsafe(ref Unsafe.Subtract(ref codes, 3), i).AsInt16();
            Vector256<short> step = now - before, next = now - after, two = before - first, bend = step + step - two, ahead = step - next - two;
            Vector256<short> isBack = Vector256.LessThanOrEqual(Vector256.Abs(ahead), Vector256.Max(leastBack, Vector256.Abs(two) >> 3));
            most = Vector256.Max(most, Vector256.Abs(bend) & isBack);
            tip = Vector256.Max(tip, Vector256.Max(Vector256.Min(step, next), Vector256.Min(-step, -next)));
        }

        return Lanes.Highest(most) > 2 * off || Lanes.Highest(tip) > beyond;
    }
}
