using System.Runtime.InteropServices;
using System.Runtime.Intrinsics;

namespace Acquire.Columns;

/// <summary>The column of each of some scans, below 0 where it lies outside of the edges.</summary>
internal static class ScanColumns
{
    /// <summary>The column of each scan by its ramp code.</summary>
    /// <param name="columnOfCode">Column of each code.</param>
    /// <param name="ramp">Ramp codes.</param>
    /// <param name="columns">Gets the columns; as many or more.</param>
    public static void OfCodes(ReadOnlySpan<int> columnOfCode, ReadOnlySpan<ushort> ramp, Span<int> columns)
    {
        columns = columns[..ramp.Length];
        for (int i = 0; i < ramp.Length; i++) columns[i] = columnOfCode[ramp[i]];
    }

    /// <summary>Which columns scans reach, those outside of the edges left out.</summary>
    /// <param name="columns">Column of each.</param>
    /// <param name="first">The first column; where there is none, more than any.</param>
    /// <param name="last">The last column, or -1.</param>
    /// <param name="front">That of the last scan that lies in one, or -1.</param>
    /// <returns>How many scans lie in columns.</returns>
    public static int RangeOf(ReadOnlySpan<int> columns, out int first, out int last, out int front)
    {
        ref int column = ref MemoryMarshal.GetReference(columns);
        // What lies outside is more than any column as a number without a sign, and less as one with a sign.
        Vector256<uint> least = Vector256.Create((uint)int.MaxValue);
        Vector256<int> most = Vector256.Create(-1), inside = default;
        int i = 0;
        for (; i + Vector256<int>.Count <= columns.Length; i += Vector256<int>.Count)
        {
            Vector256<int> some = Vector256.LoadUnsafe(ref column, (nuint)i);
            least = Vector256.Min(least, some.AsUInt32());
            most = Vector256.Max(most, some);
            inside -= Vector256.GreaterThanOrEqual(some, default);
        }

        int filed = Vector256.Sum(inside);
        (first, last) = (int.MaxValue, -1);
        for (int lane = 0; lane < Vector256<int>.Count; lane++)
        {
            first = Math.Min(first, (int)least[lane]);
            last = Math.Max(last, most[lane]);
        }

        for (; i < columns.Length; i++)
        {
            if (columns[i] < 0) continue;
            first = Math.Min(first, columns[i]);
            last = Math.Max(last, columns[i]);
            filed++;
        }

        int at = columns.LastIndexOfAnyInRange(0, int.MaxValue);
        front = at < 0 ? -1 : columns[at];
        return filed;
    }
}
