using Acquire.Columns;
using Acquire.Scales;
using Acquire.Sweeps;
using Acquire.Tests.Doubles;
using Acquire.Traces;
using CsCheck;

namespace Acquire.Tests.Traces;

public class TraceAverageTests
{
    private static readonly SweepInfo Whole = new() { Complete = true, EndReason = SweepEnd.Retrace };

    private static double[] Read(TraceAverage average)
    {
        double[] values = new double[average.ColumnCount];
        average.Read(values);
        return values;
    }

    [Fact]
    public void Take_BlockOfTwo_IsTheMeanOfTwoSweepsAndStops()
    {
        VerticalConverter converter = Given.Converter(new VerticalScale());
        var average = new TraceAverage(new ColumnValues(converter), 2, new(Detector.Average), AveragingMode.Block, sweeps: 2);

        // Each sweep has the same weight, however many scans it has in the column.
        Assert.Equal(SweepTaking.Taken, average.Take(Whole, Given.Columns(converter, [10], [1, 1, 1])));
        Assert.False(average.IsFinished);
        Assert.Equal(SweepTaking.Taken, average.Take(Whole, Given.Columns(converter, [20], [4])));
        Assert.True(average.IsFinished);
        Assert.Equal(SweepTaking.Finished, average.Take(Whole, Given.Columns(converter, [99], [99])));

        Assert.Equal([15, 2.5], Read(average));
        Assert.Equal([2, 2], average.Counts.ToArray());
        Assert.Equal(2, average.SweepsTaken);
    }

    [Fact]
    public void Take_BlockWithAnUnfilledColumn_KeepsACountPerColumn()
    {
        VerticalConverter converter = Given.Converter(new VerticalScale());
        var average = new TraceAverage(new ColumnValues(converter), 3, new(Detector.Sample), AveragingMode.Block, sweeps: 2);

        average.Take(Whole, Given.Columns(converter, [10], [], []));
        average.Take(Whole, Given.Columns(converter, [20], [30], []));

        Assert.Equal([15, 30, double.NaN], Read(average));
        Assert.Equal([2, 1, 0], average.Counts.ToArray());
        Assert.True(average.IsFinished);
    }

    [Fact]
    public void Take_SweepTornByAGap_FillsEachColumnToNAndNoFurther()
    {
        VerticalConverter converter = Given.Converter(new VerticalScale());
        var average = new TraceAverage(new ColumnValues(converter), 2, new(Detector.Sample), AveragingMode.Block, sweeps: 2);
        SweepInfo part = new() { EndReason = SweepEnd.Gap };

        average.Take(part, Given.Columns(converter, [10], []));
        average.Take(part, Given.Columns(converter, [], [20]));
        average.Take(part, Given.Columns(converter, [30], []));
        Assert.False(average.IsFinished);
        average.Take(part, Given.Columns(converter, [99], []));
        average.Take(Whole, Given.Columns(converter, [99], [40]));

        Assert.Equal([20, 30], Read(average));
        Assert.True(average.IsFinished);
    }

    [Fact]
    public void Take_Running_IsTheExactMeanUntilNAndThenFollowsTheFormula()
    {
        VerticalConverter converter = Given.Converter(new VerticalScale());
        var average = new TraceAverage(new ColumnValues(converter), 1, new(Detector.Peak), AveragingMode.Running, sweeps: 4);
        double mean = 0;
        int[] codes = [10, 20, 40, 50, 1_000, 0, 0, 7];

        for (int i = 0; i < codes.Length; i++)
        {
            average.Take(Whole, Given.Columns(converter, [(ushort)codes[i]]));
            mean = i < 4 ? codes[..(i + 1)].Average() : mean + ((codes[i] - mean) / 4);

            Assert.Equal(mean, Read(average)[0], 1e-9);
            Assert.Equal(Math.Min(i + 1, 4), average.Counts[0]);
            Assert.False(average.IsFinished);
        }
    }

    // The step response of mean += (new - mean)/N: 1 - (1 - 1/N)^k; for N = 50 and k = 50 it is 0.6358.
    [Fact]
    public void Take_RunningAfterAStep_HasFollowedTo63PercentAfterNSweeps()
    {
        VerticalConverter converter = Given.Converter(new VerticalScale());
        var average = new TraceAverage(new ColumnValues(converter), 1, new(Detector.Peak), AveragingMode.Running, sweeps: 50);

        for (int i = 0; i < 50; i++) average.Take(Whole, Given.Columns(converter, [0]));
        for (int i = 0; i < 50; i++) average.Take(Whole, Given.Columns(converter, [1_000]));

        Assert.Equal(1_000 * (1 - Math.Pow(0.98, 50)), Read(average)[0], 1e-9);
        Assert.Equal(635.8, Read(average)[0], 0.1);
    }

    [Fact]
    public void Take_RmsOfLogarithmicVertical_AveragesPowerNotDecibels()
    {
        // Code 3000 = -40 dB, code 4000 = -20 dB.
        VerticalConverter converter = Given.Converter(Given.Logarithmic, Given.AllDomains);
        var rms = new TraceAverage(new ColumnValues(converter), 1, new(Detector.Rms, ValueUnit.Level), AveragingMode.Block, 2);
        var level = new TraceAverage(new ColumnValues(converter), 1, new(Detector.Average, ValueUnit.Level), AveragingMode.Block, 2);
        var peakPower = new TraceAverage(new ColumnValues(converter), 1, new(Detector.Peak, ValueUnit.Level, AveragingDomain.Power), AveragingMode.Block, 2);

        foreach (TraceAverage average in new[] { rms, level, peakPower })
        {
            average.Take(Whole, Given.Columns(converter, [3_000]));
            average.Take(Whole, Given.Columns(converter, [4_000]));
        }

        Assert.Equal(10 * Math.Log10(0.5 * (1e-4 + 1e-2)), Read(rms)[0], 1e-9);
        Assert.Equal(-30, Read(level)[0], 1e-9);
        Assert.Equal(10 * Math.Log10(0.5 * (1e-4 + 1e-2)), Read(peakPower)[0], 1e-9);
    }

    // Envelope power of Gaussian noise is exponential: the mean of its decibels lies (10/ln 10) gamma = 2.506815781 dB below its mean power
    // (E[ln X] = -gamma; DLMF 5.2(ii)), and the mean of its voltage 10 log10(pi/4) = 1.049101186 dB below (Rayleigh).
    [Fact]
    public void Take_NoiseInThreeDomains_DiffersByTheHandbooksDecibels()
    {
        VerticalConverter converter = new(
            new VerticalScale { Volts = new CodeVolts(0m, 1m), Level = [new(0m, -100m), new(1m, 20m)] }, 65_535, Given.AllDomains);
        var reader = new ColumnValues(converter);
        TraceAverage[] averages =
        [
            .. Given.AllDomains.Select(d => new TraceAverage(reader, 50, new(Detector.Average, ValueUnit.Level, d), AveragingMode.Block, 20)),
        ];
        var random = new Random(5);
        for (int sweep = 0; sweep < 20; sweep++)
        {
            var columns = new ColumnStatistics(50, Given.AllDomains);
            for (int scan = 0; scan < 50 * 200; scan++)
            {
                double level = 10 * Math.Log10(-Math.Log(1 - random.NextDouble()));
                columns.Add(scan / 200, (ushort)Math.Clamp(converter.CodeOfVolts(converter.VoltsOfLevel(level)) + 0.5, 0, 65_535), converter.Tables);
            }

            foreach (TraceAverage average in averages) average.Take(Whole, columns);
        }

        double level0 = Read(averages[0]).Average(), voltage = Read(averages[1]).Average(), power = Read(averages[2]).Average();

        // 200,000 readings with a standard deviation of 5.57 dB: 0.0125 dB; four of these.
        Assert.Equal(-2.506815781, level0 - power, 0.05);
        Assert.Equal(-1.049101186, voltage - power, 0.05);
    }

    [Fact]
    public void Take_AnySweepsWithEqualCounts_IsTheValueOfAllScansTogether() =>
        Gen.Select(
            Gen.UShort[96, 4_095].Array[3].Array[1, 8],
            Gen.Int[0, 4].Select(i => new[] { Given.Logarithmic, Given.LogarithmicFalling, Given.LogarithmicBent, Given.Voltage, Given.Power }[i]))
            .Sample((sweeps, scale) =>
            {
                VerticalConverter converter = Given.Converter(scale, Given.AllDomains);
                var reader = new ColumnValues(converter);
                double[] together = new double[1];
                foreach (ValueUnit unit in Enum.GetValues<ValueUnit>())
                {
                    foreach (Detector detector in new[] { Detector.Average, Detector.Rms })
                    {
                        ValueChoice choice = new(detector, unit);
                        var average = new TraceAverage(reader, 1, choice, AveragingMode.Block, sweeps.Length);
                        foreach (ushort[] sweep in sweeps) average.Take(Whole, Given.Columns(converter, sweep));
                        reader.Read(Given.Columns(converter, [.. sweeps.SelectMany(s => s)]), choice, together);

                        Assert.Equal(together[0], Read(average)[0], 1e-9 * (1 + Math.Abs(together[0])));
                    }
                }
            });

    [Fact]
    public void Take_OneSweep_ReadsAsTheSweepItself()
    {
        VerticalConverter converter = Given.Converter(Given.LogarithmicBent, Given.AllDomains);
        var reader = new ColumnValues(converter);
        ColumnStatistics columns = Given.Columns(converter, [1, 2_000], [], [4_095], [0]);
        double[] expected = new double[4];

        foreach (Detector detector in Enum.GetValues<Detector>())
        {
            foreach (ValueUnit unit in Enum.GetValues<ValueUnit>())
            {
                var average = new TraceAverage(reader, 4, new(detector, unit), AveragingMode.Running, 5);
                average.Take(Whole, columns);
                reader.Read(columns, new(detector, unit), expected);

                double[] actual = Read(average);
                for (int c = 0; c < 4; c++) Assert.Equal(expected[c], actual[c], 1e-12);
            }
        }
    }

    [Fact]
    public void Take_NewAxisAbortedAndSuspectSweeps_FollowTheSameRulesAsHold()
    {
        VerticalConverter converter = Given.Converter(new VerticalScale());
        var average = new TraceAverage(new ColumnValues(converter), 2, new(Detector.Peak), AveragingMode.Block, 1);

        Assert.Equal(SweepTaking.Aborted, average.Take(new SweepInfo { EndReason = SweepEnd.Abort }, Given.Columns(converter, [1], [1])));
        Assert.Equal(SweepTaking.Suspect, average.Take(Whole with { SuspectScans = 1 }, Given.Columns(converter, [1], [1])));
        Assert.Equal(
            SweepTaking.Taken,
            average.Take(Whole with { SuspectScans = 1 }, Given.Columns(converter, [1], [4_095]), [ColumnMarks.Suspect, ColumnMarks.None]));
        Assert.Equal([0, 1], average.Counts.ToArray());
        Assert.Equal([ColumnMarks.None, ColumnMarks.AtRail], average.Marks.ToArray());

        Assert.Equal(SweepTaking.StartedAnew, average.Take(Whole with { AxisNumber = 2 }, Given.Columns(converter, [8], [9])));
        Assert.Equal([8, 9], Read(average));
        Assert.Equal([ColumnMarks.None, ColumnMarks.None], average.Marks.ToArray());
        average.Restart();
        Assert.Equal([double.NaN, double.NaN], Read(average));
    }

    [Fact]
    public void Take_RunningLevelThatMetNoInput_BeginsAgainInsteadOfStayingAtMinusInfinity()
    {
        VerticalConverter converter = Given.Converter(Given.Voltage, Given.AllDomains);
        var average = new TraceAverage(
            new ColumnValues(converter), 1, new(Detector.Average, ValueUnit.Level, AveragingDomain.Level), AveragingMode.Running, 2);

        foreach (int code in new[] { 50, 4_095 }) average.Take(Whole, Given.Columns(converter, [(ushort)code]));
        Assert.Equal(double.NegativeInfinity, Read(average)[0]);
        foreach (int code in new[] { 4_095 }) average.Take(Whole, Given.Columns(converter, [(ushort)code]));

        Assert.Equal(0, Read(average)[0], 1e-9);
    }

    [Fact]
    public void Constructor_WrongArguments_Throws()
    {
        var reader = new ColumnValues(Given.Converter(Given.Logarithmic));

        Assert.Throws<ArgumentException>(() => new TraceAverage(reader, 1, new(Detector.Peak), AveragingMode.Block, 0));
        Assert.Throws<ArgumentException>(() => new TraceAverage(reader, 1, new(Detector.Rms, ValueUnit.Level), AveragingMode.Block, 1));
        Assert.Throws<ArgumentOutOfRangeException>(() => new TraceAverage(reader, 0, new(Detector.Peak), AveragingMode.Block, 1));
    }

    [Fact]
    public void TakeAndRead_SweepAfterSweep_AllocateNothing()
    {
        VerticalConverter converter = Given.Converter(Given.LogarithmicBent, Given.AllDomains);
        var block = new TraceAverage(new ColumnValues(converter), 3, new(Detector.Average, ValueUnit.Level), AveragingMode.Block, 5);
        var running = new TraceAverage(new ColumnValues(converter), 3, new(Detector.Rms, ValueUnit.Level), AveragingMode.Running, 5);
        ColumnStatistics columns = Given.Columns(converter, [1, 2], [], [4_095]);
        ColumnMarks[] marks = new ColumnMarks[3];
        double[] values = new double[3];
        int axis = 0;

        Allocation.AssertNone(() =>
        {
            block.Take(Whole with { AxisNumber = axis++ / 10 }, columns, marks);
            running.Take(Whole, columns, marks);
            block.Read(values);
            running.Read(values);
        });
    }
}
