using System.Numerics;
using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;
using Acquire.Columns;

namespace Acquire.Traces;

/// <content>Several columns of levels at a time.</content>
public sealed partial class TraceNormaliser
{
    /// <summary>Does what <see cref="Apply"/> does for decibels, as far as whole vectors go.</summary>
    /// <returns>Columns done; none where values are divided or there is nothing to subtract.</returns>
    private int Subtract(ReadOnlySpan<double> values, ReadOnlySpan<ColumnMarks> marks, Span<double> results, Span<ReadingDoubts> doubts)
    {
        if (_divides || _reference is null) return 0;
        // All have as many entries as there are columns: they need not be looked at each time.
        ref int ofReference = ref Unsafe.As<ReadingDoubts, int>(ref MemoryMarshal.GetArrayDataReference(_referenceDoubts!)), found = ref Unsafe.As<ReadingDoubts, int>(ref MemoryMarshal.GetReference(doubts));
        ref int bits = ref Unsafe.As<ColumnMarks, int>(ref MemoryMarshal.GetReference(marks));
        ref double value = ref MemoryMarshal.GetReference(values), result = ref MemoryMarshal.GetReference(results), reference = ref MemoryMarshal.GetArrayDataReference(_reference);
        nuint half = (nuint)Vector<double>.Count, c = 0;
        for (; (int)c <= _columnCount - Vector<int>.Count; c += (nuint)Vector<int>.Count)
        {
            Vector<double> low = Vector.LoadUnsafe(ref value, c), high = Vector.LoadUnsafe(ref value, c + half);
            Vector<int> doubt = marks.IsEmpty ? Vector<int>.Zero : DoubtsOf(Vector.LoadUnsafe(ref bits, c));
            if (_floor is not null)
            {
                ref double floor = ref MemoryMarshal.GetArrayDataReference(_floor);
                Vector<double> lowAbove = Above(low, Vector.LoadUnsafe(ref floor, c)), highAbove = Above(high, Vector.LoadUnsafe(ref floor, c + half));
                doubt |= Under(lowAbove, highAbove, TrustedAboveFloorDb, ReadingDoubts.NearFloor);
                doubt |= Under(lowAbove, highAbove, AtOrBelowFloorDb, ReadingDoubts.AtOrBelowFloor);
            }

            Vector<int> unfilled = new((int)ReadingDoubts.Unfilled);
            doubt = Vector.ConditionalSelect(Vector.Narrow(Nothing(low), Nothing(high)), unfilled, doubt);
            low -= Vector.LoadUnsafe(ref reference, c);
            high -= Vector.LoadUnsafe(ref reference, c + half);
            // As in Apply: a reference without input gives no number.
            Vector<long> lowGone = Nothing(low) | Endless(low), highGone = Nothing(high) | Endless(high);
            Vector<double> nothing = new(double.NaN);
            Vector.ConditionalSelect(lowGone, nothing, low).StoreUnsafe(ref result, c);
            Vector.ConditionalSelect(highGone, nothing, high).StoreUnsafe(ref result, c + half);
            (doubt | Vector.LoadUnsafe(ref ofReference, c) | (Vector.Narrow(lowGone, highGone) & unfilled)).StoreUnsafe(ref found, c);
        }

        return (int)c;
    }

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static Vector<int> DoubtsOf(Vector<int> marks) =>
        Where(marks, ColumnMarks.AtRail, ReadingDoubts.AtRail)
        | Where(marks, ColumnMarks.Suspect, ReadingDoubts.Suspect)
        | Where(marks, ColumnMarks.Settling, ReadingDoubts.Settling);

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static Vector<int> Where(Vector<int> marks, ColumnMarks mark, ReadingDoubts doubt)
    {
        Vector<int> bit = new((int)mark);
        return Vector.Equals(marks & bit, bit) & new Vector<int>((int)doubt);
    }

    // As in AboveFloorDb: equal ones may both be minus infinity.
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static Vector<double> Above(Vector<double> values, Vector<double> floor) =>
        Vector.ConditionalSelect(Vector.Equals(values, floor), Vector<double>.Zero, values - floor);

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static Vector<int> Under(Vector<double> low, Vector<double> high, double limitDb, ReadingDoubts doubt)
    {
        Vector<double> limit = new(limitDb);
        return Vector.Narrow(Vector.LessThan(low, limit), Vector.LessThan(high, limit)) & new Vector<int>((int)doubt);
    }

    // Only NaN differs from itself.
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static Vector<long> Nothing(Vector<double> values) => Vector.OnesComplement(Vector.Equals(values, values));

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static Vector<long> Endless(Vector<double> values) => Vector.Equals(values, new Vector<double>(double.PositiveInfinity));
}
