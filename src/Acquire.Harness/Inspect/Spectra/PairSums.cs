using System.Runtime.Intrinsics;

namespace Acquire.Harness.Inspect.Spectra;

/// <summary>Sums of two channels' words and of their products, in whole numbers.</summary>
/// <param name="X">Sum of the first channel's words.</param>
/// <param name="Y">Sum of the second channel's words.</param>
/// <param name="XX">Sum of the first ones' squares.</param>
/// <param name="YY">Sum of the second ones' squares.</param>
/// <param name="XY">Sum of the products.</param>
internal readonly record struct PairSums(long X, long Y, long XX, long YY, long XY)
{
    /// <summary>Sums over scans.</summary>
    /// <param name="scans">Interleaved words, whole scans, 2^16 of them at most.</param>
    /// <param name="channelCount">Words in a scan.</param>
    /// <param name="first">Channel of the first member.</param>
    /// <param name="second">Channel of the second member.</param>
    public static PairSums Of(ReadOnlySpan<ushort> scans, int channelCount, int first, int second)
    {
        PairSums sums = default;
        int done = 0;
        if (channelCount == 2 && BitConverter.IsLittleEndian && first != second)
        {
            done = scans.Length / Vector256<ushort>.Count * Vector256<ushort>.Count;
            sums = OfTwo(scans[..done]);
            if (first != 0) sums = new PairSums(sums.Y, sums.X, sums.YY, sums.XX, sums.XY);
        }

        return sums.And(Plain(scans[done..], channelCount, first, second));
    }

    /// <summary>Sums scan by scan: the specification.</summary>
    /// <inheritdoc cref="Of"/>
    public static PairSums Plain(ReadOnlySpan<ushort> scans, int channelCount, int first, int second)
    {
        long sx = 0, sy = 0, xx = 0, yy = 0, xy = 0;
        for (int i = 0; i < scans.Length; i += channelCount)
        {
            long x = scans[i + first], y = scans[i + second];
            sx += x;
            sy += y;
            xx += x * x;
            yy += y * y;
            xy += x * y;
        }

        return new PairSums(sx, sy, xx, yy, xy);
    }

    // A scan is 32 bits, the first channel's the lower ones; products of 16 bits fit them.
    private static PairSums OfTwo(ReadOnlySpan<ushort> scans)
    {
        Vector256<uint> words = Vector256.Create((uint)ushort.MaxValue), sx = default, sy = default;
        Vector256<ulong> xx = default, yy = default, xy = default;
        for (int at = 0; at < scans.Length; at += Vector256<ushort>.Count)
        {
            Vector256<uint> scan = Vector256.Create(scans[at..]).AsUInt32(), x = scan & words, y = scan >>> 16;
            sx += x;
            sy += y;
            xx += Wide(x * x);
            yy += Wide(y * y);
            xy += Wide(x * y);
        }

        return new PairSums((long)Vector256.Sum(Wide(sx)), (long)Vector256.Sum(Wide(sy)), (long)Vector256.Sum(xx), (long)Vector256.Sum(yy), (long)Vector256.Sum(xy));
    }

    private static Vector256<ulong> Wide(Vector256<uint> v) => (v.AsUInt64() & Vector256.Create((ulong)uint.MaxValue)) + (v.AsUInt64() >>> 32);

    private PairSums And(PairSums other) => new(X + other.X, Y + other.Y, XX + other.XX, YY + other.YY, XY + other.XY);
}
