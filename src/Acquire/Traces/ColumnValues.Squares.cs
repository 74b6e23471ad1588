using System.Numerics;
using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;
using System.Runtime.Intrinsics;
using System.Runtime.Intrinsics.X86;
using Acquire.Scales;

namespace Acquire.Traces;

/// <content>Means of squares: what RMS is the root of, and power of a vertical linear in voltage.</content>
public sealed partial class ColumnValues
{
    // Up to so many scans count * squares stays below 2^128.
    private const long MostExact = (1L << 47) - 1;

    private const int WholeBits = 52;

    // Mean square = squared mean + variance. The variance comes from integers without loss, so an output that rests near 0 V on a wide
    // converter is not the difference of two large numbers.
    private void ReadMeanSquares(ReadOnlySpan<long> counts, ReadOnlySpan<long> sums, ReadOnlySpan<UInt128> squares, Span<double> quantities, ValueBasis basis)
    {
        if (basis == ValueBasis.CodeSquares)
        {
            for (int c = 0; c < quantities.Length; c++) quantities[c] = counts[c] == 0 ? double.NaN : (double)squares[c] / counts[c];
            return;
        }

        (double zero, double one) = basis == ValueBasis.RatioSquares ? _converter.Ratio : (0, 1);
        double ofZero = (_converter.VoltsOf(0) - zero) / one, perCode = (((_converter.VoltsOf(_converter.FullCode) - zero) / one) - ofZero) / _converter.FullCode;
        double perSquare = perCode * perCode;
        int i = 0;
        if (!counts.ContainsAnyExceptInRange(0, MostExact)) i = ReadMeanSquares(counts, sums, squares, quantities, ofZero, perCode);
        for (; i < quantities.Length; i++)
        {
            if (counts[i] == 0) quantities[i] = double.NaN;
            else quantities[i] = Square(ofZero + (perCode * ((double)sums[i] / counts[i]))) + (perSquare * Variance(counts[i], sums[i], squares[i]));
        }
    }

    private static int ReadMeanSquares(
        ReadOnlySpan<long> counts, ReadOnlySpan<long> sums, ReadOnlySpan<UInt128> squares, Span<double> quantities, double ofZero, double perCode)
    {
        int end = quantities.Length & -Vector<double>.Count;
        ReadSpreads(counts, sums, squares, quantities[..end]);
        ref long number0 = ref MemoryMarshal.GetReference(counts), sum0 = ref MemoryMarshal.GetReference(sums);
        ref double quantity0 = ref MemoryMarshal.GetReference(quantities);
        for (nuint i = 0; i < (nuint)end; i += (nuint)Vector<double>.Count)
        {
            Vector<long> number = Vector.LoadUnsafe(ref number0, i);
            Vector<double> count = Vector.ConvertToDouble(number), mean = Vector.ConvertToDouble(Vector.LoadUnsafe(ref sum0, i)) / count;
            Vector<double> ratio = new Vector<double>(ofZero) + (new Vector<double>(perCode) * mean);
            Vector<double> square = (ratio * ratio) + (new Vector<double>(perCode * perCode) * (Vector.LoadUnsafe(ref quantity0, i) / (count * count)));
            Vector.ConditionalSelect(Vector.Equals(number, Vector<long>.Zero), new Vector<double>(double.NaN), square).StoreUnsafe(ref quantity0, i);
        }

        return end;
    }

    private static void ReadSpreads(ReadOnlySpan<long> counts, ReadOnlySpan<long> sums, ReadOnlySpan<UInt128> squares, Span<double> spreads)
    {
        int c = 0;
        for (; Avx2.IsSupported && c <= spreads.Length - Vector256<double>.Count; c += Vector256<double>.Count)
        {
            ReadOnlySpan<long> halves = MemoryMarshal.Cast<UInt128, long>(squares.Slice(c, Vector256<double>.Count));
            Vector256<long> two = Vector256.Create(halves), others = Vector256.Create(halves[Vector256<long>.Count..]);
            Vector256<long> square = Avx2.Permute4x64(Avx2.UnpackLow(two, others), 0b11_01_10_00), count = Vector256.Create(counts[c..]), sum = Vector256.Create(sums[c..]);
            Vector256<double> product = WholeOf(count) * WholeOf(square), sumOf = WholeOf(sum);
            // As long as all are whole numbers that a double holds; then the squared sum, which is no larger, is one too.
            bool exact = (Avx2.UnpackHigh(two, others) | ((square | count | sum) >>> WholeBits)) == Vector256<long>.Zero && Vector256.LessThanAll(product, Vector256.Create((double)(2L << WholeBits)));
            if (exact) (product - (sumOf * sumOf)).CopyTo(spreads[c..]);
            else for (int i = c; i < c + Vector256<double>.Count; i++) spreads[i] = Spread(counts[i], sums[i], squares[i]);
        }

        for (; c < spreads.Length; c++) spreads[c] = Spread(counts[c], sums[c], squares[c]);
    }

    // Whole numbers below 2^52: the last bits of such a number plus that.
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static Vector256<double> WholeOf(Vector256<long> v)
    {
        Vector256<double> whole = Vector256.Create((double)(1L << WholeBits));
        return (v | whole.AsInt64()).AsDouble() - whole;
    }

    /// <summary>In codes squared.</summary>
    private static double Variance(long count, long sum, UInt128 squares)
    {
        if (count <= MostExact) return Spread(count, sum, squares) / ((double)count * count);
        double mean = (double)sum / count;
        return Math.Max(0, ((double)squares / count) - (mean * mean));
    }

    /// <summary>The variance times the square of the count, exact before it is rounded.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static double Spread(long count, long sum, UInt128 squares)
    {
        if ((ulong)(squares >> 64) == 0 && (ulong)squares <= int.MaxValue && count <= int.MaxValue) return (count * (long)(ulong)squares) - (sum * sum);
        return (double)(((UInt128)count * squares) - ((UInt128)sum * (UInt128)sum));
    }

    private static double Square(double x) => x * x;
}
