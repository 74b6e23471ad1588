using System.Runtime.Intrinsics;

namespace Acquire.Traces;

/// <summary>The codes behind held values, so that columns whose fresh codes change nothing are passed over many at a time.</summary>
/// <param name="columnCount">Columns.</param>
/// <param name="higher">A higher code is held instead of a lower one; otherwise the other way round.</param>
internal sealed class HeldCodes(int columnCount, bool higher)
{
    /// <summary>Columns that are looked at together.</summary>
    public const int Together = 16;

    private readonly ushort[] _codes = new ushort[columnCount];

    // Whether all columns of a group hold something.
    private readonly bool[] _isFull = new bool[(columnCount + Together - 1) / Together];

    /// <summary>Whether a fresh code may have to be held in some column of a group.</summary>
    /// <param name="fresh">One code per column; an unfilled column's may be any.</param>
    /// <param name="first">First column of the group.</param>
    public bool MayChange(ReadOnlySpan<ushort> fresh, int first)
    {
        if (!_isFull[first / Together] || first + Together > _codes.Length) return true;
        Vector256<ushort> held = Vector256.Create(_codes.AsSpan(first)), now = Vector256.Create(fresh[first..]);
        return (higher ? Vector256.Max(held, now) : Vector256.Min(held, now)) != held;
    }

    /// <summary>Takes the codes of values that have been compared with those held.</summary>
    /// <param name="fresh">One code per column.</param>
    /// <param name="values">Their values from the group's first column on; NaN where none entered.</param>
    /// <param name="held">What is held now, one value per column; NaN for nothing.</param>
    /// <param name="first">First column of the group.</param>
    public void Take(ReadOnlySpan<ushort> fresh, ReadOnlySpan<double> values, ReadOnlySpan<double> held, int first)
    {
        bool full = true;
        for (int i = 0; i < values.Length; i++)
        {
            int c = first + i;
            // Two codes may have one value; either stands for it.
            if (values[i] == held[c]) _codes[c] = fresh[c];
            if (double.IsNaN(held[c])) full = false;
        }

        _isFull[first / Together] = full;
    }

    /// <summary>Nothing is held.</summary>
    public void Clear() => Array.Clear(_isFull);
}
