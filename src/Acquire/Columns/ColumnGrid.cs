using System.Numerics;
using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;
using System.Runtime.Intrinsics;
using Acquire.Scales;
using Acquire.Sweeps;

namespace Acquire.Columns;

/// <summary>Which column a ramp code belongs to: the screen between two edges, cut into equal columns, decided exactly.</summary>
/// <remarks>
/// With S the edge where the beam starts and E the other one, column i of N covers the codes from S + (E-S)i/N, which belongs
/// to it, up to S + (E-S)(i+1)/N, which does not; E itself belongs to column N-1. All other codes are overscan. On a falling
/// ramp S is the high edge, so the cells are the mirror image of those of a rising ramp, ends included: a code on a border
/// belongs to the column that begins there as the beam runs.
/// Every decision is made in whole numbers. A fine code is a position on the ramp in units of 1/65,536 code; fine code
/// 65,536 c falls into the same column as code c.
/// Not thread-safe while <see cref="MoveTo"/> runs; otherwise read by any number of threads.
/// </remarks>
public sealed partial class ColumnGrid
{
    /// <summary>Entry of a code below both edges.</summary>
    public const int OverscanLow = -1;

    /// <summary>Entry of a code above both edges.</summary>
    public const int OverscanHigh = -2;

    /// <summary>Fine codes in one code.</summary>
    public const int FinePerCode = 1 << FineBits;

    private const int FineBits = 16;
    private const long MaxFittingFine = 1L << 46;

    private readonly int[] _columnOfCode;

    // The first fine code of each column as the beam runs, and the first one past the end edge. Where the beam runs down,
    // every fine code stands here as its complement, so that the entries always rise; unlike negation it cannot overflow.
    // Some more follow that say nothing, for vectors that read on.
    private readonly long[] _firsts;
    private long _mirror;
    private ulong _columnsPerFine;
    private int _shift;

    private ColumnGrid(int columnCount, int fullCode)
    {
        if (columnCount is < ColumnOptions.MinColumns or > ColumnOptions.MaxColumns)
            throw new ArgumentOutOfRangeException(nameof(columnCount), columnCount,
                $"A grid has {ColumnOptions.MinColumns:N0} to {ColumnOptions.MaxColumns:N0} columns; give a count in that range.");
        if (fullCode is < 1 or > ushort.MaxValue || !BitOperations.IsPow2(fullCode + 1))
            throw new ArgumentOutOfRangeException(nameof(fullCode), fullCode,
                "The full code is 2^bits - 1 for 1 to 16 bits; give for example 4095 for 12 bits.");
        _columnOfCode = new int[fullCode + 1];
        ColumnCount = columnCount;
        _firsts = new long[columnCount + 1 + (2 * Vector256<long>.Count)];
    }

    /// <summary>Columns, 2 to 65,536.</summary>
    public int ColumnCount { get; }

    /// <summary>Highest valid code, 2^bits - 1.</summary>
    public int FullCode => _columnOfCode.Length - 1;

    /// <summary>Whether column 0, where the beam starts, is at the low-code edge; otherwise it is at the high-code edge.</summary>
    public bool StartsAtLowCode => _mirror == 0;

    /// <summary>Lower edge in fine codes, rounded to the nearest.</summary>
    public long LowEdgeFine { get; private set; }

    /// <summary>Upper edge in fine codes, rounded to the nearest.</summary>
    public long HighEdgeFine { get; private set; }

    /// <summary>Column of every code, <see cref="FullCode"/> + 1 entries; <see cref="OverscanLow"/> or <see cref="OverscanHigh"/> outside of the edges.</summary>
    /// <remarks>Memory of this grid: valid as long as it lives, changed by <see cref="MoveTo"/>.</remarks>
    public ReadOnlySpan<int> ColumnOfCode => _columnOfCode;

    /// <summary>Makes a grid whose edges are volts.</summary>
    /// <param name="columnCount">Columns, 2 to 65,536.</param>
    /// <param name="fullCode">Highest valid code, 2^bits - 1.</param>
    /// <param name="rampVolts">Volts at code 0 and at the full code; may fall.</param>
    /// <param name="edges">Edges in volts, low first.</param>
    /// <param name="startsAtLowCode">Whether column 0 is at the edge with the lower code (not: the lower voltage).</param>
    /// <exception cref="ArgumentOutOfRangeException">Count or full code is outside of its range, or an edge lies absurdly far from the codes.</exception>
    /// <exception cref="ArgumentException">The edges or the volts do not differ, or the edges are not low first.</exception>
    public static ColumnGrid FromVolts(int columnCount, int fullCode, CodeVolts rampVolts, SweepEdges edges, bool startsAtLowCode)
    {
        ArgumentNullException.ThrowIfNull(rampVolts);
        ArgumentNullException.ThrowIfNull(edges);
        if (rampVolts.AtCodeZero == rampVolts.AtFullCode)
            throw new ArgumentException($"The ramp has {rampVolts.AtCodeZero} V at code 0 and at the full code; the two must differ. Give the volts at both ends of the converter's range.");
        RequireLowFirst(edges, "V");
        var grid = new ColumnGrid(columnCount, fullCode);

        // All decimals on one scale, so that their ratios are ratios of whole numbers.
        int digits = Math.Max(Math.Max(rampVolts.AtCodeZero.Scale, rampVolts.AtFullCode.Scale), Math.Max(edges.Low.Scale, edges.High.Scale));
        BigInteger zero = ExactRatio.Scaled(rampVolts.AtCodeZero, digits);
        BigInteger span = ExactRatio.Scaled(rampVolts.AtFullCode, digits) - zero;
        BigInteger first = (ExactRatio.Scaled(edges.Low, digits) - zero) * fullCode * FinePerCode;
        BigInteger second = (ExactRatio.Scaled(edges.High, digits) - zero) * fullCode * FinePerCode;
        if (span.Sign > 0) grid.Place(first, second, span, startsAtLowCode);
        else grid.Place(-second, -first, -span, startsAtLowCode);
        return grid;
    }

    /// <summary>Makes a grid whose edges are codes, as somebody wrote them.</summary>
    /// <param name="columnCount">Columns, 2 to 65,536.</param>
    /// <param name="fullCode">Highest valid code, 2^bits - 1.</param>
    /// <param name="edges">Edges in codes, low first; may be fractions.</param>
    /// <param name="startsAtLowCode">Whether column 0 is at the lower edge.</param>
    /// <exception cref="ArgumentOutOfRangeException">Count or full code is outside of its range, or an edge lies absurdly far from the codes.</exception>
    /// <exception cref="ArgumentException">The edges do not differ or are not low first.</exception>
    public static ColumnGrid FromCodes(int columnCount, int fullCode, SweepEdges edges, bool startsAtLowCode)
    {
        ArgumentNullException.ThrowIfNull(edges);
        RequireLowFirst(edges, "codes");
        var grid = new ColumnGrid(columnCount, fullCode);
        int digits = Math.Max(edges.Low.Scale, edges.High.Scale);
        grid.Place(ExactRatio.Scaled(edges.Low, digits) * FinePerCode, ExactRatio.Scaled(edges.High, digits) * FinePerCode, BigInteger.Pow(10, digits), startsAtLowCode);
        return grid;
    }

    /// <summary>Makes a grid on learnt edges.</summary>
    /// <param name="columnCount">Columns, 2 to 65,536.</param>
    /// <param name="fullCode">Highest valid code, 2^bits - 1.</param>
    /// <param name="lowFine">Lower edge in fine codes.</param>
    /// <param name="highFine">Upper edge in fine codes, above <paramref name="lowFine"/>.</param>
    /// <param name="startsAtLowCode">Whether column 0 is at the lower edge.</param>
    /// <exception cref="ArgumentOutOfRangeException">Count or full code is outside of its range, or an edge lies absurdly far from the codes.</exception>
    /// <exception cref="ArgumentException">The edges do not differ or are not low first.</exception>
    public static ColumnGrid FromFineCodes(int columnCount, int fullCode, long lowFine, long highFine, bool startsAtLowCode)
    {
        var grid = new ColumnGrid(columnCount, fullCode);
        grid.MoveTo(lowFine, highFine, startsAtLowCode);
        return grid;
    }

    /// <summary>Puts this grid on other learnt edges, in place and without allocating.</summary>
    /// <param name="lowFine">Lower edge in fine codes.</param>
    /// <param name="highFine">Upper edge in fine codes, above <paramref name="lowFine"/>.</param>
    /// <param name="startsAtLowCode">Whether column 0 is at the lower edge.</param>
    /// <exception cref="ArgumentOutOfRangeException">An edge lies absurdly far from the codes; nothing has changed.</exception>
    /// <exception cref="ArgumentException">The edges do not differ or are not low first; nothing has changed.</exception>
    public void MoveTo(long lowFine, long highFine, bool startsAtLowCode)
    {
        if (lowFine >= highFine)
            throw new ArgumentException($"The edges are {lowFine} and {highFine} fine codes; the lower must come first and they must differ.");
        Place<Int128>(lowFine, highFine, 1, startsAtLowCode);
    }

    /// <summary>Column of a position on the ramp, or <see cref="OverscanLow"/> or <see cref="OverscanHigh"/>.</summary>
    /// <param name="fineCode">Position in fine codes; any value.</param>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public int ColumnOf(long fineCode)
    {
        long[] firsts = _firsts;
        long along = fineCode ^ _mirror;
        if (along < firsts[0]) return StartsAtLowCode ? OverscanLow : OverscanHigh;
        return along >= firsts[ColumnCount] ? StartsAtLowCode ? OverscanHigh : OverscanLow : ColumnAlong(along);
    }

    /// <summary>Column of a place that lies in one, see <see cref="Along"/>.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    internal int ColumnAlong(long along)
    {
        // A product that is at most a few fine codes off, then the exact borders: the guess costs no division and never decides.
        int column = (int)(Math.BigMul((ulong)(along - _firsts[0]), _columnsPerFine, out _) >> _shift);
        long[] firsts = _firsts;
        if (column >= ColumnCount) column = ColumnCount - 1;
        while (along < firsts[column]) column--;
        while (along >= firsts[column + 1]) column++;
        return column;
    }

    /// <summary>The fine code of a column that the beam meets first.</summary>
    /// <param name="column">0 to ColumnCount; ColumnCount asks for the first fine code past the end edge.</param>
    public long FirstFineOf(int column) => _firsts[column] ^ _mirror;

    /// <summary>A fine code as a place that rises as the beam runs.</summary>
    internal long Along(long fineCode) => fineCode ^ _mirror;

    /// <summary>First place of a column, see <see cref="Along"/>; that of ColumnCount is the first past the end edge.</summary>
    internal long FirstAlong(int column) => _firsts[column];

    /// <summary>As <see cref="FirstAlong"/> of all columns and ColumnCount; four more can be read behind them, which say nothing.</summary>
    internal ReadOnlySpan<long> FirstsAlong() => _firsts.AsSpan(0, ColumnCount + 1);

    /// <summary>Whether borders times 65,536 fit 64 bits.</summary>
    internal bool BordersFit => _firsts[0] > -MaxFittingFine && _firsts[ColumnCount] < MaxFittingFine;

    /// <summary>Whether overscan of this kind lies before the edge where the beam starts.</summary>
    internal bool IsBefore(int overscan) => (overscan == OverscanLow) == StartsAtLowCode;

    /// <summary>The whole codes of a column: the lowest, and one past the highest; equal where the column holds no whole code.</summary>
    /// <param name="column">0 to ColumnCount - 1.</param>
    public (int Low, int End) CodesOf(int column)
    {
        ArgumentOutOfRangeException.ThrowIfNegative(column);
        ArgumentOutOfRangeException.ThrowIfGreaterThanOrEqual(column, ColumnCount);
        return StartsAtLowCode
            ? (WholeFrom(_firsts[column]), WholeFrom(_firsts[column + 1]))
            : (WholeFrom(-_firsts[column + 1]), WholeFrom(-_firsts[column]));
    }

    /// <summary>One past the highest whole code of a column, as <see cref="CodesOf"/> has it.</summary>
    internal int EndOfCodes(int column) => WholeFrom(StartsAtLowCode ? _firsts[column + 1] : -_firsts[column]);

    /// <summary>Lowest whole code of a column, as <see cref="CodesOf"/> has it.</summary>
    internal int FirstOfCodes(int column) => WholeFrom(StartsAtLowCode ? _firsts[column] : -_firsts[column + 1]);

    /// <summary>Centre of a column as a fraction of the screen's width, 0 at the edge where the beam starts.</summary>
    /// <param name="column">0 to ColumnCount - 1.</param>
    public double PositionOf(int column)
    {
        ArgumentOutOfRangeException.ThrowIfNegative(column);
        ArgumentOutOfRangeException.ThrowIfGreaterThanOrEqual(column, ColumnCount);
        return (column + 0.5) / ColumnCount;
    }

    /// <summary>Whether another grid stands for the same axis: as many columns, same start, both edges within a quarter column.</summary>
    /// <remarks>Symmetric: the narrower of the two columns counts. Edges are compared in whole fine codes.</remarks>
    /// <param name="other">The other grid, of the same converter.</param>
    public bool AgreesWith(ColumnGrid other)
    {
        ArgumentNullException.ThrowIfNull(other);
        return other.ColumnCount == ColumnCount && other.FullCode == FullCode && AgreesWith(other.LowEdgeFine, other.HighEdgeFine, other.StartsAtLowCode);
    }

    /// <summary>Whether edges stand for the same axis as this grid's: same start, both within a quarter column.</summary>
    /// <param name="lowFine">Lower edge in fine codes.</param>
    /// <param name="highFine">Upper edge in fine codes.</param>
    /// <param name="startsAtLowCode">The beam starts at the lower edge.</param>
    internal bool AgreesWith(long lowFine, long highFine, bool startsAtLowCode)
    {
        if (startsAtLowCode != StartsAtLowCode) return false;

        // 128 bits: an edge may be 2^56 fine codes away, times 4 x 65,536.
        Int128 width = Math.Min(HighEdgeFine - LowEdgeFine, highFine - lowFine);
        Int128 quarters = 4 * ColumnCount;
        return Math.Abs(LowEdgeFine - lowFine) * quarters <= width && Math.Abs(HighEdgeFine - highFine) * quarters <= width;
    }

    private static void RequireLowFirst(SweepEdges edges, string unit)
    {
        if (edges.Low >= edges.High)
            throw new ArgumentException($"The edges are {edges.Low} {unit} and {edges.High} {unit}; the lower must come first and they must differ.");
    }

    // The first whole code at or above a fine code, within 0 to FullCode + 1.
    private int WholeFrom(long fineCode) => (int)Math.Clamp((fineCode + FinePerCode - 1) >> FineBits, 0, FullCode + 1);
}
