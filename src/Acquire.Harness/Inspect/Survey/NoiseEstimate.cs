using System.Numerics;
using System.Runtime.InteropServices;
using System.Runtime.Intrinsics;

namespace Acquire.Harness.Inspect.Survey;

/// <summary>Scan-to-scan noise of one channel, blind to its course.</summary>
/// <remarks>
/// The third difference of a course that is straight or bent over four scans is zero; of white noise with standard deviation s it
/// has standard deviation s times the root of 1 + 9 + 9 + 1 = 20. The median of its magnitude (0.6745 standard deviations of a
/// normal distribution) is not moved by flybacks or spikes as long as they are fewer than half of the scans. Noise that a slow
/// filter has smoothed from scan to scan is underestimated: this is what a scan adds, not what a slow wander adds.
/// </remarks>
internal sealed class NoiseEstimate
{
    // Larger third differences are counted as the largest: the median is what matters.
    private const int Magnitudes = 65_536;
    private const int MostAtOnce = 1_024;

    // A third difference is at most four times the range.
    private const int MostNarrow = short.MaxValue / 4;
    private const double MedianOfNormal = 0.674_489_75;

    private readonly ValueCounts _magnitudes = new();
    private readonly ushort[] _thirds = new ushort[MostAtOnce];
    private int _a, _b, _c;
    private int _known;

    /// <summary>Takes the next code.</summary>
    public void Add(int code)
    {
        if (_known == 3)
        {
            _magnitudes.Add([MagnitudeOf(_a, _b, _c, code)]);
        }
        else
        {
            _known++;
        }

        _a = _b;
        _b = _c;
        _c = code;
    }

    /// <summary>Takes the next codes.</summary>
    /// <param name="codes">Codes that follow on the last ones.</param>
    /// <param name="range">Their range.</param>
    public void Add(ReadOnlySpan<ushort> codes, CodeRange range)
    {
        bool narrow = range.Highest - range.Lowest <= MostNarrow;
        int alone = Math.Min(3, codes.Length);
        foreach (ushort code in codes[..alone]) Add(code);
        for (int at = alone; at < codes.Length; at += MostAtOnce)
        {
            Span<ushort> thirds = _thirds.AsSpan(0, Math.Min(MostAtOnce, codes.Length - at));
            ReadOnlySpan<ushort> from = codes.Slice(at - 3, thirds.Length + 3);
            if (narrow) NarrowMagnitudesOf(from, thirds);
            else MagnitudesOf(from, thirds);
            _magnitudes.Add(thirds);
        }

        if (codes.Length > alone) (_a, _b, _c) = (codes[^3], codes[^2], codes[^1]);
    }

    /// <summary>Takes the next values, which are wider than codes.</summary>
    /// <param name="values">0 to 2^27.</param>
    public void Add(ReadOnlySpan<int> values)
    {
        int alone = Math.Min(3, values.Length);
        foreach (int value in values[..alone]) Add(value);
        for (int at = alone; at < values.Length; at += MostAtOnce)
        {
            Span<ushort> thirds = _thirds.AsSpan(0, Math.Min(MostAtOnce, values.Length - at));
            MagnitudesOf(values.Slice(at - 3, thirds.Length + 3), thirds);
            _magnitudes.Add(thirds);
        }

        if (values.Length > alone) (_a, _b, _c) = (values[^3], values[^2], values[^1]);
    }

    /// <summary>The next code does not follow on the last one.</summary>
    public void Break() => _known = 0;

    /// <summary>Standard deviation of the noise, in codes; NaN for fewer than five codes in a row.</summary>
    public double StandardDeviationCodes
    {
        get
        {
            if (_magnitudes.Total == 0) return double.NaN;
            double half = _magnitudes.Total / 2.0;
            long below = 0;
            ReadOnlySpan<long> counts = _magnitudes.Counts;
            for (int m = 0; m < counts.Length; m++)
            {
                if (below + counts[m] >= half)
                {
                    // Whole codes: magnitude m stands for m - 1/2 .. m + 1/2 (0 .. 1/2 for 0), filled evenly.
                    double share = (half - below) / counts[m];
                    double median = m == 0 ? share / 2 : m - 0.5 + share;
                    return median / (MedianOfNormal * Math.Sqrt(20));
                }

                below += counts[m];
            }

            return double.NaN;
        }
    }

    // Three third differences fewer than there are codes, here and below.
    private static void MagnitudesOf(ReadOnlySpan<ushort> codes, Span<ushort> thirds)
    {
        int i = 0;
        for (; i <= thirds.Length - Vector<ushort>.Count; i += Vector<ushort>.Count)
        {
            Vector.Widen(new Vector<ushort>(codes[i..]), out Vector<uint> a0, out Vector<uint> a1);
            Vector.Widen(new Vector<ushort>(codes[(i + 1)..]), out Vector<uint> b0, out Vector<uint> b1);
            Vector.Widen(new Vector<ushort>(codes[(i + 2)..]), out Vector<uint> c0, out Vector<uint> c1);
            Vector.Widen(new Vector<ushort>(codes[(i + 3)..]), out Vector<uint> d0, out Vector<uint> d1);
            Vector.Narrow(MagnitudeOf(a0, b0, c0, d0), MagnitudeOf(a1, b1, c1, d1)).CopyTo(thirds[i..]);
        }

        for (; i < thirds.Length; i++) thirds[i] = MagnitudeOf(codes[i], codes[i + 1], codes[i + 2], codes[i + 3]);
    }

    // Of codes so near to one another that no third difference needs more than 16 bits; what overflows on the way comes back.
    private static void NarrowMagnitudesOf(ReadOnlySpan<ushort> codes, Span<ushort> thirds)
    {
        int i = 0;
        // Three codes more than third differences: all that is loaded lies within.
        ref ushort first = ref MemoryMarshal.GetReference(codes), into = ref MemoryMarshal.GetReference(thirds);
        for (; i <= thirds.Length - Vector256<ushort>.Count; i += Vector256<ushort>.Count)
        {
            nuint at = (nuint)i;
            Vector256<ushort> between = Vector256.LoadUnsafe(ref first, at + 1) - Vector256.LoadUnsafe(ref first, at + 2);
            Vector256<ushort> third = Vector256.LoadUnsafe(ref first, at + 3) - Vector256.LoadUnsafe(ref first, at) + between + between + between;
            Vector256.Abs(third.AsInt16()).AsUInt16().StoreUnsafe(ref into, at);
        }

        for (; i < thirds.Length; i++) thirds[i] = MagnitudeOf(codes[i], codes[i + 1], codes[i + 2], codes[i + 3]);
    }

    private static void MagnitudesOf(ReadOnlySpan<int> values, Span<ushort> thirds)
    {
        int i = 0;
        for (; i <= thirds.Length - Vector<ushort>.Count; i += Vector<ushort>.Count)
            Vector.Narrow(MagnitudeOf(values[i..]), MagnitudeOf(values[(i + Vector<int>.Count)..])).CopyTo(thirds[i..]);
        for (; i < thirds.Length; i++) thirds[i] = MagnitudeOf(values[i], values[i + 1], values[i + 2], values[i + 3]);
    }

    private static Vector<uint> MagnitudeOf(ReadOnlySpan<int> values) => MagnitudeOf(
        Vector.AsVectorUInt32(new Vector<int>(values)),
        Vector.AsVectorUInt32(new Vector<int>(values[1..])),
        Vector.AsVectorUInt32(new Vector<int>(values[2..])),
        Vector.AsVectorUInt32(new Vector<int>(values[3..])));

    private static Vector<uint> MagnitudeOf(Vector<uint> a, Vector<uint> b, Vector<uint> c, Vector<uint> d)
    {
        Vector<int> between = Vector.AsVectorInt32(b - c);
        Vector<int> third = Vector.AsVectorInt32(d - a) + between + between + between;
        return Vector.AsVectorUInt32(Vector.Min(Vector.Abs(third), new Vector<int>(Magnitudes - 1)));
    }

    private static ushort MagnitudeOf(int a, int b, int c, int d) => (ushort)Math.Min(Math.Abs(d - (3 * c) + (3 * b) - a), Magnitudes - 1);
}
