using System.Runtime.InteropServices;
using System.Runtime.Intrinsics;

namespace Acquire.Harness.Inspect.Survey;

/// <summary>Lowest and highest of a run of codes.</summary>
/// <param name="Lowest">Lowest code.</param>
/// <param name="Highest">Highest code.</param>
internal readonly record struct CodeRange(int Lowest, int Highest)
{
    /// <summary>Range of codes.</summary>
    /// <param name="codes">At least one.</param>
    public static CodeRange Of(ReadOnlySpan<ushort> codes)
    {
        int step = Vector256<ushort>.Count, at = 0, lowest = codes[0], highest = codes[0];
        if (codes.Length >= step)
        {
            ref ushort first = ref MemoryMarshal.GetReference(codes);
            Vector256<ushort> low = Vector256.LoadUnsafe(ref first), high = low;
            for (at = step; at <= codes.Length - step; at += step)
            {
                Vector256<ushort> v = Vector256.LoadUnsafe(ref first, (nuint)at);
                low = Vector256.Min(low, v);
                high = Vector256.Max(high, v);
            }

            (lowest, highest) = (ushort.MaxValue - HighestOf(~low), HighestOf(high));
        }

        for (; at < codes.Length; at++)
        {
            lowest = Math.Min(lowest, codes[at]);
            highest = Math.Max(highest, codes[at]);
        }

        return new CodeRange(lowest, highest);
    }

    private static int HighestOf(Vector256<ushort> v)
    {
        Vector128<ushort> half = Vector128.Max(v.GetLower(), v.GetUpper());
        half = Vector128.Max(half, Vector128.Shuffle(half, Vector128.Create((ushort)4, 5, 6, 7, 0, 1, 2, 3)));
        half = Vector128.Max(half, Vector128.Shuffle(half, Vector128.Create((ushort)2, 3, 0, 1, 6, 7, 4, 5)));
        return Math.Max(half.ToScalar(), half.GetElement(1));
    }
}
