using Acquire.Columns;
using Acquire.Scales;
using Acquire.Sweeps;
using Acquire.Tests.Doubles;
using Acquire.Tests.Models;
using CsCheck;

namespace Acquire.Tests.Columns;

public class ColumnGridTests
{
    private static readonly CodeVolts FiveVolts = new(-5m, 5m);

    [Fact]
    public void ColumnOfCode_FourColumnsOnCodes2To10Rising_BordersBelongToTheLaterColumn()
    {
        // codes:   0  1 | 2  3 | 4  5 | 6  7 | 8  9 10 | 11 ...
        // column:  low  |  0   |  1   |  2   |    3    | high
        var grid = ColumnGrid.FromCodes(4, 15, new SweepEdges(2, 10), startsAtLowCode: true);

        Assert.Equal([-1, -1, 0, 0, 1, 1, 2, 2, 3, 3, 3, -2, -2, -2, -2, -2], grid.ColumnOfCode.ToArray());
    }

    [Fact]
    public void ColumnOfCode_FourColumnsOnCodes2To10Falling_IsTheMirrorImage()
    {
        // codes:   0  1 | 2  3  4 | 5  6 | 7  8 | 9 10 | 11 ...
        // column:  low  |    3    |  2   |  1   |  0   | high
        var grid = ColumnGrid.FromCodes(4, 15, new SweepEdges(2, 10), startsAtLowCode: false);

        Assert.Equal([-1, -1, 3, 3, 3, 2, 2, 1, 1, 0, 0, -2, -2, -2, -2, -2], grid.ColumnOfCode.ToArray());
    }

    [Fact]
    public void ColumnOfCode_FallingVolts_LowVoltsLieAtHighCodes()
    {
        // 15 codes from +7.5 V down to -7.5 V, 1 V a code: 3.5 V is code 4, -3.5 V is code 11.
        var grid = ColumnGrid.FromVolts(7, 15, new CodeVolts(7.5m, -7.5m), new SweepEdges(-3.5m, 3.5m), startsAtLowCode: true);

        Assert.Equal([-1, -1, -1, -1, 0, 1, 2, 3, 4, 5, 6, 6, -2, -2, -2, -2], grid.ColumnOfCode.ToArray());
        Assert.Equal((4L << 16, 11L << 16), (grid.LowEdgeFine, grid.HighEdgeFine));
    }

    // The counts that the design quotes for the natural route: volts = low + step x code with step = (high - low) / 4095,
    // column = floor((volts - low) / (high - low) x N), for 12 bits from -5 V to 5 V, all in binary floating point.
    [Theory]
    [InlineData(1_001, 16)]
    [InlineData(4_095, 754)]
    public void ColumnOfCode_AgainstTheNaturalFloatingPointRoute_DiffersInAsManyCodesAsKnown(int columns, int misplaced)
    {
        var grid = ColumnGrid.FromVolts(columns, 4_095, FiveVolts, new SweepEdges(-5m, 5m), startsAtLowCode: true);

        int differing = 0;
        for (int code = 0; code <= 4_095; code++)
            if (NaturalColumnOf(code, columns) != grid.ColumnOfCode[code]) differing++;

        Assert.Equal(misplaced, differing);
    }

    [Theory]
    [InlineData("-5", "5", "-5", "5", 12, 1_001)]
    [InlineData("-5", "5", "-5", "5", 12, 4_095)]
    [InlineData("5", "-5", "-5", "5", 12, 1_001)]
    [InlineData("-5.5", "5.5", "-5", "5", 12, 1_000)]
    [InlineData("0", "3.3", "0.3", "3.0", 10, 601)]
    [InlineData("0.0000000000000000000000000007", "3.2999999999999999999999999993", "0.1", "3.1", 12, 1_000)]
    [InlineData("0", "10", "-3", "12.5", 8, 2)]
    [InlineData("0", "1", "0", "1", 16, 65_536)]
    [InlineData("0", "1", "0", "1", 1, 3)]
    [InlineData("0", "1", "2", "3", 12, 100)]
    public void ColumnOfCode_EveryCode_MatchesTheDefinition(string atZero, string atFull, string low, string high, int bits, int columns)
    {
        int fullCode = (1 << bits) - 1;
        foreach (bool startsAtLowCode in new[] { true, false })
        {
            var volts = new CodeVolts(Decimal(atZero), Decimal(atFull));
            var edges = new SweepEdges(Decimal(low), Decimal(high));
            var grid = ColumnGrid.FromVolts(columns, fullCode, volts, edges, startsAtLowCode);
            var slow = SlowColumnGrid.OnVolts(columns, fullCode, volts.AtCodeZero, volts.AtFullCode, edges.Low, edges.High, startsAtLowCode);

            for (int code = 0; code <= fullCode; code++)
            {
                Assert.Equal(slow.ColumnOf(code, 1), grid.ColumnOfCode[code]);
                Assert.Equal(slow.ColumnOf(code, 1), grid.ColumnOf((long)code << 16));
            }
        }
    }

    [Fact]
    public void ColumnOf_AnyLearntEdges_MatchesTheDefinitionAtEveryBorder() =>
        GenGrid.Sample(g =>
        {
            var grid = ColumnGrid.FromFineCodes(g.Columns, 4_095, g.Low, g.High, g.StartsAtLowCode);
            var slow = SlowColumnGrid.OnFineCodes(g.Columns, g.Low, g.High, g.StartsAtLowCode);
            foreach (int column in new[] { 0, 1, g.Columns / 2, g.Columns - 1, g.Columns })
                for (long fine = grid.FirstFineOf(column) - 2; fine <= grid.FirstFineOf(column) + 2; fine++)
                {
                    int found = grid.ColumnOf(fine);
                    if (found != slow.ColumnOf(fine, 65_536)) return false;
                    if (found >= 0 && !slow.Covers(found, fine, 65_536)) return false;
                }

            return true;
        });

    [Fact]
    public void ColumnOf_AnyPosition_MatchesTheDefinition() =>
        Gen.Select(GenGrid, Gen.Long[-70_000L * 65_536, 70_000L * 65_536]).Sample((g, fine) =>
            ColumnGrid.FromFineCodes(g.Columns, 4_095, g.Low, g.High, g.StartsAtLowCode).ColumnOf(fine)
                == SlowColumnGrid.OnFineCodes(g.Columns, g.Low, g.High, g.StartsAtLowCode).ColumnOf(fine, 65_536));

    [Theory]
    [InlineData(true)]
    [InlineData(false)]
    public void ColumnOf_ExtremePositions_AreOverscanOnTheirSide(bool startsAtLowCode)
    {
        var grid = ColumnGrid.FromCodes(1_000, 4_095, new SweepEdges(10, 4_000), startsAtLowCode);

        Assert.Equal(ColumnGrid.OverscanLow, grid.ColumnOf(long.MinValue));
        Assert.Equal(ColumnGrid.OverscanHigh, grid.ColumnOf(long.MaxValue));
        Assert.Equal(ColumnGrid.OverscanLow, grid.ColumnOf((10L << 16) - 1));
        Assert.Equal(ColumnGrid.OverscanHigh, grid.ColumnOf((4_000L << 16) + 1));
        Assert.Equal(startsAtLowCode ? 999 : 0, grid.ColumnOf(4_000L << 16));
        Assert.Equal(startsAtLowCode ? 0 : 999, grid.ColumnOf(10L << 16));
    }

    [Fact]
    public void ColumnOfCode_AnyGrid_IsMonotonicAndTilesTheEdgesExactly() =>
        GenGrid.Sample(g =>
        {
            var grid = ColumnGrid.FromFineCodes(g.Columns, 4_095, g.Low, g.High, g.StartsAtLowCode);
            int step = g.StartsAtLowCode ? 1 : -1;
            int previous = -1;
            for (int k = 0; k <= 4_095; k++)
            {
                int code = g.StartsAtLowCode ? k : 4_095 - k;
                bool within = code >= 0 && ((long)code << 16) >= g.Low && ((long)code << 16) <= g.High;
                int column = grid.ColumnOfCode[code];
                if (within != column >= 0) return false;
                if (within && column < previous) return false;
                if (within) previous = column;
                (int low, int end) = within ? grid.CodesOf(column) : (code, code + 1);
                if (code < low || code >= end) return false;
            }

            for (int column = 0; column < g.Columns; column++)
                if ((grid.FirstFineOf(column + 1) - grid.FirstFineOf(column)) * step < 0) return false;
            return grid.FirstFineOf(0) == (g.StartsAtLowCode ? g.Low : g.High)
                && grid.FirstFineOf(g.Columns) == (g.StartsAtLowCode ? g.High + 1 : g.Low - 1);
        });

    [Fact]
    public void ColumnOfCode_AtLeastOneCodePerColumn_EveryColumnHoldsACode() =>
        Gen.Select(Gen.Int[2, 4_095], Gen.Int[0, 4_095], Gen.Bool).Where((columns, low, _) => low + columns <= 4_095).Sample((columns, low, startsAtLowCode) =>
        {
            var grid = ColumnGrid.FromFineCodes(columns, 4_095, (long)low << 16, (long)(low + columns) << 16, startsAtLowCode);
            for (int column = 0; column < columns; column++)
            {
                (int from, int end) = grid.CodesOf(column);
                if (end <= from) return false;
            }

            return true;
        });

    [Fact]
    public void ColumnOf_MirroredPosition_FallsIntoTheSameColumnOfTheMirroredGrid() =>
        Gen.Select(GenGrid, Gen.Long[-70_000L * 65_536, 70_000L * 65_536]).Sample((g, fine) =>
        {
            var grid = ColumnGrid.FromFineCodes(g.Columns, 4_095, g.Low, g.High, g.StartsAtLowCode);
            var mirrored = ColumnGrid.FromFineCodes(g.Columns, 4_095, g.Low, g.High, !g.StartsAtLowCode);
            int here = grid.ColumnOf(fine);
            int there = mirrored.ColumnOf(g.Low + g.High - fine);
            return here >= 0 ? here == there : there == (here == ColumnGrid.OverscanLow ? ColumnGrid.OverscanHigh : ColumnGrid.OverscanLow);
        });

    [Fact]
    public void FromVolts_EdgesOnFineCodes_EqualsLearntEdges() =>
        Gen.Select(Gen.Int[2, 5_000], Gen.Long[-1_000_000, 0], Gen.Long[1, 300_000_000], Gen.Bool).Sample((columns, low, high, startsAtLowCode) =>
        {
            var learnt = ColumnGrid.FromFineCodes(columns, 4_095, low, high, startsAtLowCode);
            var written = ColumnGrid.FromCodes(columns, 4_095, new SweepEdges(low / 65_536m, high / 65_536m), startsAtLowCode);
            for (int column = 0; column <= columns; column++)
                if (learnt.FirstFineOf(column) != written.FirstFineOf(column)) return false;
            return learnt.ColumnOfCode.SequenceEqual(written.ColumnOfCode);
        });

    [Fact]
    public void MoveTo_AnotherPlace_EqualsANewGridAndAllocatesNothing()
    {
        var moved = ColumnGrid.FromFineCodes(1_000, 4_095, 0, 100, startsAtLowCode: true);
        moved.MoveTo(12L << 16, 4_080L << 16, startsAtLowCode: false);
        var made = ColumnGrid.FromCodes(1_000, 4_095, new SweepEdges(12, 4_080), startsAtLowCode: false);

        Assert.True(moved.ColumnOfCode.SequenceEqual(made.ColumnOfCode));
        Allocation.AssertNone(() => moved.MoveTo(12L << 16, 4_080L << 16, startsAtLowCode: true), runs: 50);
    }

    [Fact]
    public void ColumnOf_SteadyState_AllocatesNothing()
    {
        var grid = ColumnGrid.FromVolts(1_000, 4_095, FiveVolts, new SweepEdges(-4.5m, 4.5m), startsAtLowCode: true);
        int sum = 0;

        Allocation.AssertNone(() => sum += grid.ColumnOf(123_456_789) + grid.ColumnOfCode[17]);

        Assert.NotEqual(0, sum);
    }

    [Fact]
    public void PositionOf_AnyColumn_IsItsCentre()
    {
        var grid = ColumnGrid.FromCodes(1_000, 4_095, new SweepEdges(0, 4_095), startsAtLowCode: true);

        Assert.Equal(0.0005, grid.PositionOf(0));
        Assert.Equal(0.9995, grid.PositionOf(999));
        Assert.Throws<ArgumentOutOfRangeException>(() => grid.PositionOf(1_000));
        Assert.Throws<ArgumentOutOfRangeException>(() => grid.PositionOf(-1));
    }

    [Theory]
    [InlineData(0, 0, true)]
    [InlineData(16_384, 0, true)] // a quarter of a column of one code
    [InlineData(0, -16_384, true)]
    [InlineData(16_385, 16_385, false)]
    [InlineData(0, -16_385, false)]
    public void AgreesWith_EdgesMoved_HoldsWithinAQuarterColumn(int lowMoved, int highMoved, bool agrees)
    {
        // Columns of exactly 1 code; where both edges move apart, the narrower grid's column counts.
        var grid = ColumnGrid.FromFineCodes(1_000, 4_095, 0, 65_536_000, startsAtLowCode: true);
        var other = ColumnGrid.FromFineCodes(1_000, 4_095, lowMoved == 0 ? 0 : -lowMoved, 65_536_000 - highMoved, startsAtLowCode: true);

        Assert.Equal(agrees, grid.AgreesWith(other));
        Assert.Equal(agrees, other.AgreesWith(grid));
    }

    [Fact]
    public void AgreesWith_OtherCountStartOrConverter_DoesNotHold()
    {
        var grid = ColumnGrid.FromCodes(1_000, 4_095, new SweepEdges(0, 4_095), startsAtLowCode: true);

        Assert.False(grid.AgreesWith(ColumnGrid.FromCodes(1_001, 4_095, new SweepEdges(0, 4_095), startsAtLowCode: true)));
        Assert.False(grid.AgreesWith(ColumnGrid.FromCodes(1_000, 4_095, new SweepEdges(0, 4_095), startsAtLowCode: false)));
        Assert.False(grid.AgreesWith(ColumnGrid.FromCodes(1_000, 8_191, new SweepEdges(0, 4_095), startsAtLowCode: true)));
    }

    [Fact]
    public void From_BadArguments_SaysValueAndFix()
    {
        var edges = new SweepEdges(0, 1);
        Assert.Contains("65,536", Assert.Throws<ArgumentOutOfRangeException>(() => ColumnGrid.FromCodes(65_537, 4_095, edges, true)).Message);
        Assert.Throws<ArgumentOutOfRangeException>(() => ColumnGrid.FromCodes(1, 4_095, edges, true));
        Assert.Contains("4095", Assert.Throws<ArgumentOutOfRangeException>(() => ColumnGrid.FromCodes(2, 4_096, edges, true)).Message);
        Assert.Throws<ArgumentOutOfRangeException>(() => ColumnGrid.FromCodes(2, 131_071, edges, true));
        Assert.Contains("3 codes", Assert.Throws<ArgumentException>(() => ColumnGrid.FromCodes(2, 4_095, new SweepEdges(3, 3), true)).Message);
        Assert.Throws<ArgumentException>(() => ColumnGrid.FromVolts(2, 4_095, FiveVolts, new SweepEdges(1, -1), true));
        Assert.Contains("differ", Assert.Throws<ArgumentException>(() => ColumnGrid.FromVolts(2, 4_095, new CodeVolts(1, 1), edges, true)).Message);
        Assert.Throws<ArgumentException>(() => ColumnGrid.FromFineCodes(2, 4_095, 5, 5, true));
        Assert.Throws<ArgumentOutOfRangeException>(() => ColumnGrid.FromFineCodes(2, 4_095, 5, long.MaxValue, true));
        Assert.Throws<ArgumentOutOfRangeException>(() => ColumnGrid.FromFineCodes(2, 4_095, long.MinValue, 5, true));
        Assert.Throws<ArgumentOutOfRangeException>(() => ColumnGrid.FromVolts(2, 4_095, FiveVolts, new SweepEdges(0, decimal.MaxValue), true));
    }

    // Widths from one fine code (columns far narrower than a fine code) to several converter ranges.
    private static Gen<(int Columns, long Low, long High, bool StartsAtLowCode)> GenGrid =>
        from columns in Gen.OneOf(Gen.Int[2, 40], Gen.Int[900, 5_000])
        from low in Gen.Long[-1_000L * 65_536, 4_000L * 65_536]
        from width in Gen.OneOf(Gen.Long[1, 100], Gen.Long[1, 1_000_000], Gen.Long[1_000_000, 20_000L * 65_536])
        from startsAtLowCode in Gen.Bool
        select (columns, low, low + width, startsAtLowCode);

    private static int NaturalColumnOf(int code, int columns)
    {
        double volts = -5.0 + ((5.0 - -5.0) / 4_095 * code);
        if (volts is < -5.0 or > 5.0) return volts < -5.0 ? ColumnGrid.OverscanLow : ColumnGrid.OverscanHigh;
        return Math.Min((int)Math.Floor((volts - -5.0) / (5.0 - -5.0) * columns), columns - 1);
    }

    private static decimal Decimal(string text) => decimal.Parse(text, System.Globalization.CultureInfo.InvariantCulture);
}
