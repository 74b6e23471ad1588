using System.Numerics;

namespace Acquire.Columns;

// Where the borders lie and which codes are between them, worked out anew when the edges change.
public sealed partial class ColumnGrid
{
    // Keeps every position, and the difference of any two, well inside 64 bits; a converter has 2^16 codes.
    private const long MaxEdgeCodes = 1L << 40;

    // The edges are low / denominator and high / denominator fine codes. One body for both number types: 128 bits, which
    // cost no allocation, hold learnt edges; decimal fractions may need more.
    private void Place<T>(T low, T high, T denominator, bool startsAtLowCode)
        where T : IBinaryInteger<T>
    {
        T limit = T.CreateChecked(MaxEdgeCodes * FinePerCode) * denominator;
        if (low < -limit || high > limit)
            throw new ArgumentOutOfRangeException(nameof(low),
                $"An edge lies more than {MaxEdgeCodes:N0} codes from code 0; edges belong near the codes 0 to {FullCode}. Check edges and volts.");

        _mirror = startsAtLowCode ? 0 : -1;
        FillFirsts(startsAtLowCode ? low : -high - denominator, high - low, denominator);
        LowEdgeFine = ExactRatio.Round(low, denominator);
        HighEdgeFine = ExactRatio.Round(high, denominator);
        PrepareGuess((ulong)(_firsts[ColumnCount] - _firsts[0]));
        FillCodes();
    }

    // Entry i is the ceiling of (start + width i / N) / denominator, summed up with an exact remainder; the last entry is one
    // past the floor, because the end edge itself belongs to the last column.
    private void FillFirsts<T>(T start, T width, T denominator)
        where T : IBinaryInteger<T>
    {
        T count = T.CreateChecked(ColumnCount);
        T unit = denominator * count;
        (T value, T rest) = ExactRatio.FloorDivRem(start * count, unit);
        (T step, T stepRest) = ExactRatio.FloorDivRem(width, unit);
        long whole = long.CreateChecked(value);
        long wholeStep = long.CreateChecked(step);
        for (int column = 0; column < ColumnCount; column++)
        {
            _firsts[column] = T.IsZero(rest) ? whole : whole + 1;
            whole += wholeStep;
            rest += stepRest;
            if (rest >= unit)
            {
                rest -= unit;
                whole++;
            }
        }

        _firsts[ColumnCount] = whole + 1;
    }

    // Full 64-bit precision in the factor makes its own error far less than one fine code, whatever the width.
    private void PrepareGuess(ulong widthFine)
    {
        int columnBits = BitOperations.Log2((uint)ColumnCount) + 1;
        int widthBits = BitOperations.Log2(widthFine);
        _shift = Math.Max(0, widthBits - columnBits);
        UInt128 factor = ((UInt128)(uint)ColumnCount << (64 + _shift)) / widthFine;
        _columnsPerFine = factor > ulong.MaxValue ? ulong.MaxValue : (ulong)factor;
    }

    private void FillCodes()
    {
        int onGrid = CodesOf(StartsAtLowCode ? 0 : ColumnCount - 1).Low;
        int pastGrid = CodesOf(StartsAtLowCode ? ColumnCount - 1 : 0).End;
        Array.Fill(_columnOfCode, OverscanLow, 0, onGrid);
        Array.Fill(_columnOfCode, OverscanHigh, pastGrid, FullCode + 1 - pastGrid);
        for (int column = 0; column < ColumnCount; column++)
        {
            (int low, int end) = CodesOf(column);
            Array.Fill(_columnOfCode, column, low, end - low);
        }
    }
}
