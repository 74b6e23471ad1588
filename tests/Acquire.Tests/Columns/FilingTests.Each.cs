using Acquire.Columns;

namespace Acquire.Tests.Columns;

// Scans one by one, each in the column of its own code.
public partial class FilingTests
{
    [Theory]
    [InlineData(4_095)]
    [InlineData(65_535)]
    public void AddEach_AnyRamp_IsAsOneByOne(int full)
    {
        var random = new Random(full);
        int[] columnOfCode = [-1, -1, .. Enumerable.Range(0, ColumnCount), -2];
        for (int scans = 1; scans <= 64; scans++)
        {
            ushort[] ramp = Codes(random, scans, columnOfCode.Length - 1)[..scans], codes = Codes(random, scans, full);
            (ColumnStatistics expected, ColumnStatistics actual) = Filled(random, full);

            for (int i = 0; i < scans; i++)
                if (columnOfCode[ramp[i]] is var column and >= 0) expected.Add(column, codes[i], []);
            actual.AddEach(ramp, columnOfCode, ref codes[0], new long[ColumnCount], 7);

            AssertSame(expected, actual);
        }
    }

    // Rising and falling, at the edges and between them, more scans than are packed at once, few columns and many.
    [Theory]
    [InlineData(4_095, 50)]
    [InlineData(4_095, 1_500)]
    [InlineData(65_535, 50)]
    public void AddEach_LongRamps_IsAsOneByOne(int full, int columnCount)
    {
        var random = new Random(full + columnCount);
        int[] columnOfCode = [.. Enumerable.Repeat(-1, 30), .. Enumerable.Range(0, 2 * columnCount).Select(i => i / 2), .. Enumerable.Repeat(-2, 40)];
        for (int round = 0; round < 400; round++)
        {
            if (round % 50 == 49) Array.Reverse(columnOfCode);
            int scans = random.Next(1, 700), spread = random.Next(1, columnOfCode.Length + 1), lowest = random.Next(columnOfCode.Length - spread + 1);
            ushort[] ramp = [.. Codes(random, scans, spread - 1)[..scans].Select(code => (ushort)(code + lowest))], codes = Codes(random, scans, full)[..scans];
            ColumnStatistics expected = new(columnCount, []), actual = new(columnCount, []);
            long[] expectedScans = new long[columnCount], scansOf = new long[columnCount];

            for (int repeat = 0; repeat < 2; repeat++)
            {
                for (int i = 0; i < scans; i++)
                {
                    if (columnOfCode[ramp[i]] is not (var column and >= 0)) continue;
                    expected.Add(column, codes[i], []);
                    expectedScans[column] = 7 + i;
                }

                actual.AddEach(ramp, columnOfCode, ref codes[0], scansOf, 7);
            }

            AssertSame(expected, actual);
            Assert.Equal(expectedScans, scansOf);
        }
    }

    [Fact]
    public void AddEach_AllHighestInOneColumn_FitsThePackedSums()
    {
        ushort[] codes = [.. Enumerable.Repeat((ushort)4_095, 512)];
        ColumnStatistics expected = new(1, []), actual = new(1, []);
        foreach (ushort code in codes) expected.Add(0, code, []);

        actual.AddEach(new ushort[512], [0], ref codes[0], new long[1], 7);

        AssertSame(expected, actual);
    }

    [Fact]
    public void AddEach_SumOfSquaresPassesSixtyFourBits_IsCarried()
    {
        ColumnStatistics expected = new(1, []), actual = new(1, []);
        ushort[] codes = [ushort.MaxValue];
        foreach (ColumnStatistics columns in (ColumnStatistics[])[expected, actual])
            columns.Add(0, new ReadingRun { Count = 1, Highest = 1, Lowest = 1, Last = 1, Sum = 1, Squares = ulong.MaxValue - 5 });

        expected.Add(0, codes[0], []);
        actual.AddEach([0], [0], ref codes[0], new long[1], 7);

        AssertSame(expected, actual);
        Assert.True(actual.CodeSquareSums[0] > ulong.MaxValue);
    }
}
