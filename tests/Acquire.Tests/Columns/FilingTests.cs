using Acquire.Capture;
using Acquire.Columns;

namespace Acquire.Tests.Columns;

/// <summary>Readings that enter columns many at a time leave what they leave one by one, which is the specification.</summary>
public partial class FilingTests
{
    private const int ColumnCount = 40;

    // Vectors may read so far behind the last reading.
    private const int Behind = 32;

    // Up to 12 bits go one way, more another; the sums of 256 squares of 12 bits just fit 32.
    [Theory]
    [InlineData(1)]
    [InlineData(255)]
    [InlineData(4_095)]
    [InlineData(8_191)]
    [InlineData(65_535)]
    public void AddSideBySide_AnyEnds_IsAsOneByOne(int full)
    {
        var random = new Random(full);
        for (int longest = 1; longest <= 1_024; longest = (longest * 3 / 2) + 1)
        {
            int[] ends = new int[ColumnCount - 1];
            int from = random.Next(3), end = from;
            for (int i = 0; i < ends.Length; i++) ends[i] = end += random.Next(4) == 0 ? 0 : random.Next(1, longest + 1);
            ushort[] codes = Codes(random, end, full);
            (ColumnStatistics expected, ColumnStatistics actual) = Filled(random, full);

            for (int i = 0, at = from; i < ends.Length; i++)
                for (; at < ends[i]; at++) expected.Add(1 + i, codes[at], []);
            actual.AddSideBySide(1, ends, from, ref codes[0], full);

            AssertSame(expected, actual);
        }
    }

    // Two readings to most columns, some with one, three or none between them; any number of columns, up to the last.
    [Theory]
    [InlineData(4_095, 1)]
    [InlineData(4_095, 8)]
    [InlineData(4_095, 30)]
    [InlineData(65_535, 8)]
    public void AddSideBySide_PairsAmongOthers_IsAsOneByOne(int full, int oneIn)
    {
        var random = new Random(full + oneIn);
        AssertSideBySide(random, full, () => random.Next(oneIn) == 0 ? random.Next(5) : 2);
    }

    // So many as two vectors hold to most columns, some with as few as one or too many between them.
    [Theory]
    [InlineData(4_095, 1)]
    [InlineData(4_095, 12)]
    [InlineData(65_535, 12)]
    public void AddSideBySide_SomeTwentyAmongOthers_IsAsOneByOne(int full, int oneIn)
    {
        var random = new Random(full + oneIn);
        AssertSideBySide(random, full, () => random.Next(oneIn) == 0 ? (random.Next(3) * 16) + random.Next(3) : random.Next(17, 33));
    }

    private static void AssertSideBySide(Random random, int full, Func<int> readingsOfNext)
    {
        for (int round = 0; round < 2_000; round++)
        {
            int first = random.Next(ColumnCount), count = random.Next(2) == 0 ? ColumnCount - first : random.Next(1, ColumnCount - first + 1), from = random.Next(3), end = from;
            int[] ends = [.. Enumerable.Range(0, count).Select(_ => end += readingsOfNext())];
            // As many behind the last as the method may read, and no more.
            ushort[] codes = Codes(random, end, full)[..(end + 16)];
            (ColumnStatistics expected, ColumnStatistics actual) = Filled(random, full);

            for (int i = 0, at = from; i < ends.Length; i++)
                for (; at < ends[i]; at++) expected.Add(first + i, codes[at], []);
            actual.AddSideBySide(first, ends, from, ref codes[0], full);

            AssertSame(expected, actual);
        }
    }

    [Theory]
    [InlineData(2)]
    [InlineData(20)]
    public void AddSideBySide_CountOrSumPasses_IsCarried(int each)
    {
        const int Columns = 11;
        ColumnStatistics expected = new(Columns, []), actual = new(Columns, []);
        int[] ends = [.. Enumerable.Range(1, Columns).Select(i => i * each)];
        ushort[] codes = Codes(new Random(each), ends[^1], 4_095);
        foreach (ColumnStatistics columns in (ColumnStatistics[])[expected, actual])
            columns.Add(3, new ReadingRun { Count = int.MaxValue, Highest = 1, Lowest = 1, Last = 1, Sum = 1, Squares = ulong.MaxValue - 5 });
        for (int i = 0; i < 3; i++)
            foreach (ColumnStatistics columns in (ColumnStatistics[])[expected, actual]) columns.Merge(3, columns, 3);

        for (int i = 0; i < codes.Length && i < ends[^1]; i++) expected.Add(i / each, codes[i], []);
        actual.AddSideBySide(0, ends, 0, ref codes[0], 4_095);

        AssertSame(expected, actual);
    }

    [Fact]
    public void CloseSideBySide_AnyEnds_KeepsTheLastScansOfColumnsWithoutReadings()
    {
        var random = new Random(1);
        for (int round = 0; round < 500; round++)
        {
            SweepColumns columns = new(ColumnCount, 1, []);
            long[] expected = [.. Enumerable.Range(0, ColumnCount).Select(i => (long)i)];
            for (int i = 0; i < ColumnCount; i++) columns.CloseRun(i, i);
            int first = random.Next(ColumnCount), from = random.Next(3), end = from;
            int[] ends = [.. Enumerable.Range(0, random.Next(ColumnCount - first + 1)).Select(_ => end += random.Next(3))];

            for (int i = 0; i < ends.Length; i++)
                if (ends[i] > (i == 0 ? from : ends[i - 1])) expected[first + i] = (1L << 40) + ends[i] - 1;
            columns.CloseSideBySide(first, ends, from, 1L << 40);

            Assert.Equal(expected, columns.LastScans);
        }
    }

    // Ramps with noise, rising and falling, of columns narrow and wide, whole stretches of them and parts.
    [Theory]
    [InlineData(4_095, 1)]
    [InlineData(4_095, -1)]
    [InlineData(65_535, 1)]
    [InlineData(65_535, -1)]
    public void AddChosen_NoisyRamps_IsAsOneByOne(int full, int direction)
    {
        var random = new Random(full + direction);
        ushort mirror = direction > 0 ? (ushort)0 : ushort.MaxValue;
        for (int round = 0; round < 1_000; round++)
        {
            int columnCount = random.Next(2, 1 + (full / 2)), scans = random.Next(1, 33) * 16, grain = random.Next(2) == 0 ? ScanBlock.Piece : ScanBlock.Scans;
            ColumnGrid grid = ColumnGrid.FromFineCodes(columnCount, full, 0, ((long)full << 16) - random.Next(1 << 16), random.Next(2) == 0);
            double width = full / (double)columnCount, step = direction * width * random.NextDouble() / random.Next(1, 300), at = random.Next(full), noise = random.Next(5) * width;
            ushort[] words = [.. Enumerable.Range(0, 2 * scans).Select(i => (ushort)(i % 2 == 0 ? Math.Clamp(at + (step * i) + (noise * (random.NextDouble() - 0.5)), 0, full - 1) : random.Next(full + 1)))];
            ScanBlock block = new(new ScanFormat { Bits = full == 4_095 ? 12 : 16 }, withBlanking: false);
            Assert.True(block.TryLoadNext(words));
            ushort[] least = new ushort[((scans + grain - 1) / grain) + 4], most = new ushort[least.Length - 4];
            block.RampRanges(ScanBlock.First + 1, scans, grain, mirror, least.AsSpan(0, most.Length), most);
            least.AsSpan(most.Length).Fill(ushort.MaxValue);
            ColumnStatistics expected = new(columnCount, []), actual = new(columnCount, []);
            long[] lasts = new long[columnCount];
            SweepColumns runs = new(columnCount, 1, []);

            for (int i = 0; i < scans; i++)
            {
                int column = grid.ColumnOfCode[words[2 * i]];
                expected.Add(column, words[(2 * i) + 1], []);
                lasts[column] = 7 + i;
            }

            ref ushort ramp = ref block.Ramp[ScanBlock.First + 1], codes = ref block.Vertical(0)[ScanBlock.First + 1];
            actual.AddChosen(new ColumnWalk(grid, ref least[0], most, scans, grain, mirror), ref ramp, ref codes, full, runs, 7);

            AssertSame(expected, actual);
            Assert.Equal(lasts, runs.LastScans);
        }
    }

    [Theory]
    [InlineData(4_095)]
    [InlineData(65_535)]
    public void OfChosen_AnyWindow_IsAsOneByOne(int full)
    {
        var random = new Random(full);
        for (int scans = 16; scans <= ScanBlock.Most; scans += 16)
        {
            ushort[] ramp = Codes(random, scans, full), codes = Codes(random, scans, full);
            int from = random.Next(scans / 16) * 16, low = random.Next(full), more = random.Next(4) == 0 ? full - low : random.Next(full - low);
            int[] chosen = [.. Enumerable.Range(from, scans - from).Where(i => ramp[i] >= low && ramp[i] <= low + more)];
            ColumnStatistics expected = new(1, []), actual = new(1, []);

            foreach (int i in chosen) expected.Add(0, codes[i], []);
            ReadingRun run = ReadingRun.OfChosen(ref ramp[0], ref codes[0], from, scans, (ushort)low, (ushort)more, full, out int last);
            if (run.Count > 0) actual.Add(0, run);

            Assert.Equal(chosen.Length, run.Count);
            if (chosen.Length == 0) continue;
            Assert.Equal(chosen[^1], last);
            AssertSame(expected, actual);
        }
    }

    [Fact]
    public void OfChosenInBlock_AnyRange_IsAsOfChosen()
    {
        const int Full = 4_095;
        var random = new Random(Full);
        for (int round = 0; round < 2_000; round++)
        {
            int most = round % 2 == 0 ? Full : 20;
            ushort[] ramp = Codes(random, ScanBlock.Scans, most), codes = round % 7 == 0 ? [.. Enumerable.Repeat((ushort)Full, ScanBlock.Scans + Behind)] : Codes(random, ScanBlock.Scans, Full);
            int low = random.Next(most), more = random.Next(most - low + 1);

            ReadingRun actual = ReadingRun.OfChosenInBlock(ref ramp[0], ref codes[0], (ushort)low, (ushort)more, out int last);
            ReadingRun expected = ReadingRun.OfChosen(ref ramp[0], ref codes[0], 0, ScanBlock.Scans, (ushort)low, (ushort)more, Full, out int expectedLast);

            Assert.Equal(expected.Count, actual.Count);
            if (expected.Count == 0) continue;
            Assert.Equal(expectedLast, last);
            Assert.Equal((expected.Highest, expected.Lowest, expected.Last, expected.Sum, expected.Squares), (actual.Highest, actual.Lowest, actual.Last, actual.Sum, actual.Squares));
        }
    }

    [Theory]
    [InlineData(16, 0)]
    [InlineData(64, 0)]
    [InlineData(16, 65_535)]
    [InlineData(64, 65_535)]
    public void RampRanges_AnyScans_AreOfAllAfterAndAllBefore(int grain, int mirror)
    {
        var random = new Random(grain + mirror);
        for (int scans = 16; scans <= ScanBlock.Most; scans += 16)
        {
            ScanBlock block = new(new ScanFormat { Bits = 16 }, withBlanking: false);
            ushort[] words = Codes(random, 2 * scans, 65_535)[..(2 * scans)];
            Assert.True(block.TryLoadNext(words));
            int[] keys = [.. Enumerable.Range(0, scans).Select(i => words[2 * i] ^ mirror)];
            ushort[] least = new ushort[(scans + grain - 1) / grain], most = new ushort[least.Length];

            // The first scan loaded comes after the one that waited.
            block.RampRanges(ScanBlock.First + 1, scans, grain, (ushort)mirror, least, most);

            for (int i = 0; i < least.Length; i++)
            {
                Assert.Equal(keys[(i * grain)..].Min(), least[i]);
                Assert.Equal(keys[..Math.Min(scans, (i + 1) * grain)].Max(), most[i]);
            }
        }
    }

    // Random, but for every third time all as high as can be.
    private static ushort[] Codes(Random random, int count, int full)
    {
        bool highest = random.Next(3) == 0;
        return [.. Enumerable.Range(0, count + Behind).Select(_ => (ushort)(highest ? full : random.Next(full + 1)))];
    }

    // Some columns hold something before, the others what may be there when they hold nothing.
    private static (ColumnStatistics Expected, ColumnStatistics Actual) Filled(Random random, int full)
    {
        ColumnStatistics expected = new(ColumnCount, []), actual = new(ColumnCount, []);
        for (int column = 0; column < ColumnCount; column++)
        {
            ushort code = (ushort)random.Next(full + 1);
            expected.Add(column, code, []);
            actual.Add(column, code, []);
            if (random.Next(2) == 0) continue;
            expected.Clear(column);
            actual.Clear(column);
        }

        return (expected, actual);
    }

    private static void AssertSame(ColumnStatistics expected, ColumnStatistics actual)
    {
        Assert.Equal(expected.Counts, actual.Counts);
        for (int column = 0; column < expected.ColumnCount; column++)
        {
            if (expected.Counts[column] == 0) continue;
            Assert.Equal(expected.HighestCodes[column], actual.HighestCodes[column]);
            Assert.Equal(expected.LowestCodes[column], actual.LowestCodes[column]);
            Assert.Equal(expected.LastCodes[column], actual.LastCodes[column]);
            Assert.Equal(expected.CodeSums[column], actual.CodeSums[column]);
            Assert.Equal(expected.CodeSquareSums[column], actual.CodeSquareSums[column]);
        }
    }
}
