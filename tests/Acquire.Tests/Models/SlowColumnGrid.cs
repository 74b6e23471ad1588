using System.Numerics;
using Acquire.Columns;

namespace Acquire.Tests.Models;

/// <summary>The grid as rule 6 words it, on fractions of whole numbers: start edge S, end edge E, position x, all over one denominator.</summary>
internal sealed record SlowColumnGrid(BigInteger Start, BigInteger End, BigInteger Denominator, int ColumnCount)
{
    public static SlowColumnGrid OnVolts(int columns, int fullCode, decimal atZero, decimal atFull, decimal low, decimal high, bool startsAtLowCode)
    {
        // (edge - atZero) * fullCode / (atFull - atZero), numerator and denominator times 10^28.
        BigInteger scale = BigInteger.Pow(10, 28);
        BigInteger Whole(decimal v)
        {
            var exact = new BigInteger(decimal.Truncate(v)) * scale;
            decimal fraction = v - decimal.Truncate(v);
            BigInteger power = scale;
            while (fraction != 0)
            {
                fraction *= 10;
                power /= 10;
                exact += new BigInteger(decimal.Truncate(fraction)) * power;
                fraction -= decimal.Truncate(fraction);
            }

            return exact;
        }

        BigInteger span = Whole(atFull) - Whole(atZero);
        BigInteger a = (Whole(low) - Whole(atZero)) * fullCode * span.Sign;
        BigInteger b = (Whole(high) - Whole(atZero)) * fullCode * span.Sign;
        BigInteger lowCode = BigInteger.Min(a, b);
        BigInteger highCode = BigInteger.Max(a, b);
        return startsAtLowCode
            ? new(lowCode, highCode, BigInteger.Abs(span), columns)
            : new(highCode, lowCode, BigInteger.Abs(span), columns);
    }

    public static SlowColumnGrid OnFineCodes(int columns, long lowFine, long highFine, bool startsAtLowCode) =>
        startsAtLowCode ? new(lowFine, highFine, 65_536, columns) : new(highFine, lowFine, 65_536, columns);

    /// <summary>Column of position numerator / denominator, in codes: by looking at the borders.</summary>
    public int ColumnOf(BigInteger numerator, BigInteger denominator)
    {
        // Everything over Denominator x denominator.
        BigInteger x = numerator * Denominator;
        BigInteger start = Start * denominator;
        BigInteger end = End * denominator;
        bool upwards = end > start;
        if (x == end) return ColumnCount - 1;
        if (x < BigInteger.Min(start, end)) return ColumnGrid.OverscanLow;
        if (x > BigInteger.Max(start, end)) return ColumnGrid.OverscanHigh;

        // (x - S) N / (E - S): both signs are those of the beam's direction, so the quotient is that of magnitudes.
        BigInteger along = upwards ? x - start : start - x;
        return (int)(along * ColumnCount / BigInteger.Abs(end - start));
    }

    /// <summary>Whether position x is in [S+(E-S)i/N, S+(E-S)(i+1)/N), said by multiplying out, as the beam runs.</summary>
    public bool Covers(int column, BigInteger numerator, BigInteger denominator)
    {
        BigInteger sign = (End - Start).Sign;
        BigInteger x = numerator * Denominator * ColumnCount * sign;
        BigInteger from = ((Start * ColumnCount) + ((End - Start) * column)) * denominator * sign;
        BigInteger to = ((Start * ColumnCount) + ((End - Start) * (column + 1))) * denominator * sign;
        return from <= x && (x < to || (column == ColumnCount - 1 && x == to));
    }
}
