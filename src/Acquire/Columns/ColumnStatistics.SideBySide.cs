using System.Numerics;
using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;
using System.Runtime.Intrinsics;
using Acquire.Capture;

namespace Acquire.Columns;

/// <content>Readings side by side, with the bits that scan by scan gives.</content>
public sealed partial class ColumnStatistics
{
    // Fewer are added faster one by one.
    private const int FewPairs = 3;

    // Where columns get fewer than so many readings, most of them get two or few more.
    private const int FewReadings = 4;

    // Where columns get fewer than so many, four at once are worth a try.
    private const int SomeReadings = 32;

    /// <summary>Adds readings side by side to columns side by side, all but the domains' sums.</summary>
    /// <param name="first">First column.</param>
    /// <param name="ends">For each column one past the place of its last reading; as the one before where it gets none.</param>
    /// <param name="from">Place of the first reading.</param>
    /// <param name="codes">Place 0; up to 16 more can be read behind the last.</param>
    /// <param name="full">Highest code.</param>
    internal void AddSideBySide(int first, ReadOnlySpan<int> ends, int from, ref ushort codes, int full)
    {
        if (ends.IsEmpty) return;
        if (full > ReadingRun.NarrowCode) AddWideSideBySide(first, ends, from, ref codes, full);
        else if (ends[^1] - from < FewReadings * ends.Length) AddFewSideBySide(first, ends, from, ref codes);
        else if (ends[^1] - from < SomeReadings * ends.Length) AddSomeSideBySide(first, ends, from, ref codes);
        else AddManySideBySide(first, ends, from, ref codes);
    }

    [MethodImpl(MethodImplOptions.NoInlining)]
    private void AddFewSideBySide(int first, ReadOnlySpan<int> ends, int from, ref ushort codes)
    {
        // Columns behind are left as they are where there are such, so that few are taken as eight.
        int columnsFrom = Math.Min(_counts.Length - first, ends.Length - 1 + Together) - Together, behind = ends.Length - Together;
        if (!BitConverter.IsLittleEndian || behind < 0) columnsFrom = -1;
        Unchecked columns = new(this, first, ends.Length);
        ref int end = ref MemoryMarshal.GetReference(ends);
        for (int i = 0; i < ends.Length;)
        {
            ref ushort next = ref Unsafe.Add(ref codes, from);
            if (i <= columnsFrom)
            {
                int pairs = PairsAt(ref end, i, behind, from);
                if (pairs >= FewPairs && columns.TryAddPairs((nuint)i, Vector256.LoadUnsafe(ref next), pairs))
                {
                    i += pairs;
                    from += 2 * pairs;
                    continue;
                }
            }

            int n = Unsafe.Add(ref end, i) - from;
            if (n > 0) AddRun(first + i, ref next, n);
            from += n;
            i++;
        }
    }

    /// <summary>How many columns from one on get two readings each, up to eight.</summary>
    /// <param name="ends">For each column one past the place of its last reading.</param>
    /// <param name="column">The first of them.</param>
    /// <param name="behind">The last from which there are eight ends.</param>
    /// <param name="from">Place of its first reading.</param>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static int PairsAt(ref int ends, int column, int behind, int from)
    {
        Vector256<int> pairs = Vector256.Create(from) + ((Vector256<int>.Indices + Vector256<int>.One) << 1), eight;
        if (column <= behind)
            eight = Vector256.LoadUnsafe(ref ends, (nuint)column);
        else
        {
            // Those behind the last are of columns before, which end too soon to be taken for pairs.
            Vector256<int> lanes = (Vector256<int>.Indices + Vector256.Create(column - behind)) & Vector256.Create(Together - 1);
            eight = Vector256.Shuffle(Vector256.LoadUnsafe(ref ends, (nuint)behind), lanes);
        }

        uint others = ~Vector256.Equals(eight, pairs).ExtractMostSignificantBits();
        return BitOperations.TrailingZeroCount(others | (1u << Together));
    }

    [MethodImpl(MethodImplOptions.NoInlining)]
    private void AddSomeSideBySide(int first, ReadOnlySpan<int> ends, int from, ref ushort codes)
    {
        Unchecked columns = new(this, first, ends.Length);
        ref int end = ref MemoryMarshal.GetReference(ends);
        for (int i = 0; i < ends.Length;)
        {
            int four = i + 4;
            if (four <= ends.Length && columns.TryAddFour((nuint)i, ref codes, from, ref Unsafe.Add(ref end, i)))
            {
                (i, from) = (four, Unsafe.Add(ref end, four - 1));
                continue;
            }

            int n = Unsafe.Add(ref end, i) - from;
            if (ReadingRun.AreSome(n)) columns.Add((nuint)i, ReadingRun.OfSome(ref Unsafe.Add(ref codes, from), n));
            else if (n > 0) AddRun(first + i, ref Unsafe.Add(ref codes, from), n);
            from += n;
            i++;
        }
    }

    [MethodImpl(MethodImplOptions.NoInlining)]
    private void AddManySideBySide(int first, ReadOnlySpan<int> ends, int from, ref ushort codes)
    {
        // Without a call for most, so that what it needs stays in registers.
        Unchecked columns = new(this, first, ends.Length);
        ref int end = ref MemoryMarshal.GetReference(ends);
        for (nuint i = 0; i < (nuint)ends.Length; i++)
        {
            int n = Unsafe.Add(ref end, i) - from;
            if (ReadingRun.AreSome(n)) columns.Add(i, ReadingRun.OfSome(ref Unsafe.Add(ref codes, from), n));
            else if (n > 0) AddRun(first + (int)i, ref Unsafe.Add(ref codes, from), n);
            from += n;
        }
    }

    [MethodImpl(MethodImplOptions.NoInlining)]
    private void AddRun(int column, ref ushort codes, int count) => Add(column, ReadingRun.OfNarrow(ref codes, count));

    private void AddWideSideBySide(int first, ReadOnlySpan<int> ends, int from, ref ushort codes, int full)
    {
        for (int i = 0; i < ends.Length; i++)
        {
            int n = ends[i] - from;
            if (n == 0) continue;
            Add(first + i, ReadingRun.Of(ref Unsafe.Add(ref codes, from), n, full));
            from += n;
        }
    }
}
