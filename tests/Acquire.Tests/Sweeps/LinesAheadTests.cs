using System.Runtime.Intrinsics;
using Acquire.Capture;
using Acquire.Sweeps;

namespace Acquire.Tests.Sweeps;

/// <summary>Lines worked out side by side have the bits of lines worked out one by one.</summary>
public class LinesAheadTests
{
    private const int Full = 4_095, Before = 4, MostLines = 9, Known = 6 * 1_024;

    public static TheoryData<int, bool, double> Ramps => new(
        from length in (int[])[4, 8, 16, 32, 64, 128]
        from falls in (bool[])[false, true]
        from slope in (double[])[0.01, 0.2, 0.49]
        select (length, falls, slope));

    [Theory]
    [MemberData(nameof(Ramps))]
    public void Fit_NoisyRamp_HasTheLinesOfTheHistory(int length, bool falls, double slope)
    {
        for (int lines = 2; lines <= MostLines; lines++)
        {
            (RampHistory history, ushort[] codes, LinesAhead ahead, CourseLine begun) = Start(length, lines, falls, slope, seed: lines);
            ahead.Sum(ref codes[1], lines);
            ahead.SetFirst(begun);

            Assert.Equal(lines, ahead.Fit(lines, span: Full, way: Before * length * 1.1, leastSlope: 1, window: Before * length, slack: 0));

            long first = history.End;
            foreach (ushort code in codes[2..]) history.Push(code);
            for (int i = 0; i < lines; i++)
            {
                long scan = first + (i * length);
                LineFit fit = history.Fit(scan - (Before * length), scan);
                CourseLine line = ahead.LineAt(i, first, mostOff: 1);
                Assert.Equal(LineOf(fit, scan, length), line with { MostOff = 0 });
                Assert.Equal((first, history.Sum(first, line.End)), (line.Start - (i * length), (long)(ahead.RunningSums[i + 1] - ahead.RunningSums[0])));
            }
        }
    }

    [Theory]
    [MemberData(nameof(Ramps))]
    public void CloseAndMeasure_NoisyRamp_MeasureWhatEachLineAloneDoes(int length, bool falls, double slope)
    {
        ushort mirror = falls ? (ushort)Full : (ushort)0;
        for (int lines = 2; lines <= MostLines; lines++)
        {
            (_, ushort[] codes, LinesAhead ahead, CourseLine begun) = Start(length, lines, falls, slope, seed: 100 + lines);
            ahead.Sum(ref codes[1], lines);
            ahead.SetFirst(begun);
            ahead.Fit(lines, span: Full, way: Before * length * 1.1, leastSlope: 1, window: Before * length, slack: 0);

            ahead.Close(lines);
            Assert.Equal(lines, ahead.Measure(ref codes[1], lines, mirror));

            for (int i = 0; i < lines; i++)
            {
                CourseLine line = ahead.LineAt(i, begun.Start, mostOff: 0);
                (double off, int peak) = MeasureAlone(codes, 1 + (i * length), length, line, mirror);
                Assert.Equal(off, ahead.MostOffs[i]);
                Assert.Equal(peak, ahead.Peaks[i]);
                // Of what scans lie off: as plainly as it can be said, which rounds otherwise.
                double[] offs = [.. Enumerable.Range(0, length).Select(k => codes[1 + (i * length) + k] - line.First - (line.Slope * k))];
                Assert.Equal(offs.Average(), ahead.Offs[i], 1e-9);
                Assert.Equal(offs.Average(off => off * off), ahead.Squares[i], 1e-6);
            }
        }
    }

    // A run is measured by sixteen scans; those of a shorter line one by one.
    private static (double Off, int Peak) MeasureAlone(ushort[] codes, int at, int length, CourseLine line, ushort mirror)
    {
        if (length >= 16)
        {
            RampRun.Measure(ref codes[at], length, (int)((line.Value >> 16) - ((long)codes[at] << 16)), (int)(line.Step >> 16), mirror, out RampRun run);
            return (run.Off, run.Peak);
        }

        double off = 0;
        int peak = 0, origin = codes[1];
        for (int k = 0; k < length; k++)
        {
            // In eighths of a code, each of the two parts of the line rounded down; and what that may hide.
            int on = (int)((((line.Step >> 16) * k) >> 13) + ((((line.Value >> 16) - ((long)origin << 16))) >> 13));
            off = Math.Max(off, Math.Abs(((codes[at + k] - origin) * 8) - on));
            peak = Math.Max(peak, Math.Min(codes[at + k] ^ mirror, codes[at + k - 1] ^ mirror));
        }

        return ((off / 8) + 0.26, peak);
    }

    // A step in the middle, which makes the window another one; there the lines end.
    [Fact]
    public void Fit_SlopeThatChanges_EndsWhereAnotherWindowHolds()
    {
        (_, ushort[] codes, LinesAhead ahead, CourseLine begun) = Start(64, MostLines, falls: false, slope: 0.2, seed: 7);
        for (int i = 1 + (2 * 64); i < codes.Length; i++) codes[i] += 60;
        ahead.Sum(ref codes[1], MostLines);
        ahead.SetFirst(begun);

        int lines = ahead.Fit(MostLines, span: Full, way: 0.2 * Before * 64 * 1.1, leastSlope: 0.1, window: Before * 64, slack: 0);

        Assert.InRange(lines, 3, MostLines - 1);
        Assert.Equal(1, ahead.Fit(MostLines, span: Full, way: 0.2 * Before * 64 * 1.1, leastSlope: 0.1, window: (Before + 1) * 64, slack: 0));
        Assert.True(ahead.Fit(MostLines, span: 5, way: 0.2 * Before * 64 * 1.1, leastSlope: 0.1, window: Before * 64, slack: 0) < lines, "A line that leads over all of the span is too steep.");
    }

    [Fact]
    public void Look_LinesTakenTogether_AreTheMostAndTheLeastOfThem()
    {
        for (int lines = 5; lines <= MostLines; lines++)
        {
            (_, ushort[] codes, LinesAhead ahead, CourseLine begun) = Start(32, lines, falls: lines % 2 == 0, slope: 0.3, seed: lines);
            ushort mirror = lines % 2 == 0 ? (ushort)Full : (ushort)0;
            ahead.Sum(ref codes[1], lines);
            ahead.SetFirst(begun);
            ahead.Fit(lines, span: Full, way: Before * 32 * 1.1, leastSlope: 1, window: Before * 32, slack: 0);
            ahead.Measure(ref codes[1], lines, mirror);

            LinesAhead.Together all = ahead.Look(lines, mirror);

            CourseLine[] each = [.. Enumerable.Range(0, lines).Select(i => ahead.LineAt(i, begun.Start, 0))];
            double[] slopes = [.. each.Select(line => Math.Abs(line.Slope))], peaks = ahead.Peaks[..lines].ToArray();
            Assert.Equal(ahead.MostOffs[..lines].ToArray().Max(), all.MostOff);
            Assert.Equal((slopes.Min(), slopes.Max()), (all.LeastSlope, all.MostSlope));
            Assert.Equal(Enumerable.Range(1, lines - 1).Max(i => Math.Abs(each[i].First - each[i - 1].At(each[i].Start))), all.MostJoin, 1e-9);
            Assert.Equal(Enumerable.Range(1, lines - 1).Max(i => (mirror == 0 ? each[i].First : Full - each[i].First) - peaks[i - 1]), all.MostAbove, 1e-9);
            Assert.Equal(Enumerable.Range(1, lines - 1).All(i => peaks[i] > peaks[i - 1]), all.Climb);
        }
    }

    [Fact]
    public void Lanes_FourVectors_AreEachVectorsOwn()
    {
        var random = new Random(3);
        for (int turn = 0; turn < 200; turn++)
        {
            Vector256<int>[] sums = [.. Enumerable.Range(0, 4).Select(_ => Vector256.Create([.. Enumerable.Range(0, 8).Select(_ => random.Next(-(1 << 27), 1 << 27))]))];
            Vector256<short>[] codes = [.. Enumerable.Range(0, 4).Select(_ => Vector256.Create([.. Enumerable.Range(0, 16).Select(_ => (short)random.Next(short.MinValue, short.MaxValue + 1))]))];

            Vector128<int> sum = Lanes.SumsOf(sums[0], sums[1], sums[2], sums[3]), highest = Lanes.HighestOf(codes[0], codes[1], codes[2], codes[3]);

            for (int i = 0; i < 4; i++)
            {
                Assert.Equal(Vector256.Sum(sums[i]), sum[i]);
                Assert.Equal(Enumerable.Range(0, 16).Max(lane => codes[i][lane]), highest[i]);
                Assert.Equal(sum[i], Lanes.Doubles(sum)[i]);
            }
        }
    }

    /// <summary>A history up to a line's first scan, which waits; the scan before it, the scans of some lines and those that follow; and the line.</summary>
    private static (RampHistory History, ushort[] Codes, LinesAhead Ahead, CourseLine Begun) Start(int length, int lines, bool falls, double slope, int seed)
    {
        var random = new Random(seed);
        var history = new RampHistory(Full, 1 << 14);
        int first = (Known & -length) - 1, place = 0;
        ushort Next()
        {
            double code = 100 + (place++ * slope) + (random.NextDouble() * 4);
            return (ushort)(falls ? Full - Math.Min(Full, code) : Math.Min(Full, code));
        }

        ushort before = 0;
        for (int i = 0; i < first; i++) history.Push(before = Next());
        ushort[] codes = [before, .. Enumerable.Range(0, (lines * length) + 64).Select(_ => Next())];
        history.Push(codes[1]);
        var ahead = new LinesAhead();
        Assert.Equal(first, history.End);
        Assert.True(ahead.TryStart(length, Before, history, first));
        return (history, codes, ahead, LineOf(history.Fit(first - (Before * length), first), first, length));
    }

    private static CourseLine LineOf(LineFit fit, long scan, int length)
    {
        long step = (long)Math.Round(fit.Slope * (1L << 32));
        return new CourseLine(scan, scan + length, (long)Math.Round(fit.End * (1L << 32)) + step, step, fit.Slope, 0);
    }
}
