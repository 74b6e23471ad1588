using Acquire.Columns;
using Acquire.Scales;
using Acquire.Sweeps;
using Acquire.Tests.Doubles;
using Acquire.Traces;
using CsCheck;

namespace Acquire.Tests.Traces;

public class PeakHoldTests
{
    private static readonly SweepInfo Whole = new() { Complete = true, EndReason = SweepEnd.Retrace };

    [Fact]
    public void Choices_OfAUnit_ArePeakAndMinimumInIt()
    {
        var hold = new PeakHold(new ColumnValues(Given.Converter(Given.Logarithmic)), 3, ValueUnit.Level);

        Assert.Equal(new ValueChoice(Detector.Peak, ValueUnit.Level), hold.HighestChoice);
        Assert.Equal(new ValueChoice(Detector.Minimum, ValueUnit.Level), hold.LowestChoice);
    }

    [Fact]
    public void Take_TwoSweeps_HoldsHighestPeakAndLowestMinimumPerColumn()
    {
        VerticalConverter converter = Given.Converter(new VerticalScale());
        var hold = new PeakHold(new ColumnValues(converter), 3);

        hold.Take(Whole, Given.Columns(converter, [5, 9], [4], []));
        hold.Take(Whole, Given.Columns(converter, [7, 2], [3], []));

        Assert.Equal([9, 4, double.NaN], hold.Highest.ToArray());
        Assert.Equal([2, 3, double.NaN], hold.Lowest.ToArray());
        Assert.Equal([2, 2, 0], hold.Counts.ToArray());
        Assert.Equal(2, hold.SweepsTaken);
    }

    [Fact]
    public void Take_ScreenUpIsFallingCodes_HighestIsTheLowestCodeAndTheHighestLevel()
    {
        VerticalConverter converter = Given.Converter(Given.LogarithmicFalling);
        var codes = new PeakHold(new ColumnValues(converter), 1);
        var levels = new PeakHold(new ColumnValues(converter), 1, ValueUnit.Level);

        foreach (PeakHold hold in new[] { codes, levels })
        {
            hold.Take(Whole, Given.Columns(converter, [2_000, 1_500]));
            hold.Take(Whole, Given.Columns(converter, [1_000, 3_000]));
        }

        Assert.Equal(1_000, codes.Highest[0]);
        Assert.Equal(3_000, codes.Lowest[0]);
        Assert.Equal(-40, levels.Highest[0], 1e-9);
        Assert.Equal(-80, levels.Lowest[0], 1e-9);
    }

    [Fact]
    public void Take_AveragesOfEachSweep_HoldsTheHighestAverage()
    {
        VerticalConverter converter = Given.Converter(new VerticalScale());
        var hold = new PeakHold(new ColumnValues(converter), 1, new ValueChoice(Detector.Average), new ValueChoice(Detector.Average));

        hold.Take(Whole, Given.Columns(converter, [0, 10]));
        hold.Take(Whole, Given.Columns(converter, [3, 4]));

        Assert.Equal(5, hold.Highest[0]);
        Assert.Equal(3.5, hold.Lowest[0]);
    }

    [Fact]
    public void Take_SuspectColumns_StayOutAndTheOthersEnter()
    {
        VerticalConverter converter = Given.Converter(new VerticalScale());
        var hold = new PeakHold(new ColumnValues(converter), 2);
        SweepInfo suspect = Whole with { SuspectScans = 3 };

        Assert.Equal(SweepTaking.Suspect, hold.Take(suspect, Given.Columns(converter, [4], [5])));
        Assert.Equal(SweepTaking.Taken, hold.Take(suspect, Given.Columns(converter, [4], [5]), [ColumnMarks.Suspect, ColumnMarks.Settling]));

        Assert.Equal([double.NaN, 5], hold.Highest.ToArray());
        Assert.Equal([0, 1], hold.Counts.ToArray());
        Assert.Equal(ColumnMarks.Settling, hold.Marks[1]);
    }

    [Theory]
    [InlineData(SweepEnd.Abort, false, SweepTaking.Aborted)]
    [InlineData(SweepEnd.Abort, true, SweepTaking.Taken)]
    [InlineData(SweepEnd.Gap, false, SweepTaking.Taken)]
    [InlineData(SweepEnd.End, false, SweepTaking.Taken)]
    public void Take_SweepsThatEndEarly_EnterUnlessTheyWereAborted(SweepEnd end, bool countAborted, SweepTaking taking)
    {
        VerticalConverter converter = Given.Converter(new VerticalScale());
        var hold = new PeakHold(new ColumnValues(converter), 1, countAborted: countAborted);

        Assert.Equal(taking, hold.Take(new SweepInfo { EndReason = end }, Given.Columns(converter, [1])));
        Assert.Equal(taking == SweepTaking.Taken ? 1 : 0, hold.SweepsTaken);
    }

    [Fact]
    public void Take_SweepOnANewAxis_StartsAnew()
    {
        VerticalConverter converter = Given.Converter(new VerticalScale());
        var hold = new PeakHold(new ColumnValues(converter), 1);
        hold.Take(Whole, Given.Columns(converter, [9]));

        Assert.Equal(SweepTaking.StartedAnew, hold.Take(Whole with { AxisNumber = 1 }, Given.Columns(converter, [5])));

        Assert.Equal(5, hold.Highest[0]);
        Assert.Equal(1, hold.SweepsTaken);
        Assert.Equal(1, hold.AxisNumber);
        hold.Restart();
        Assert.True(double.IsNaN(hold.Highest[0]));
        Assert.Equal(SweepTaking.Taken, hold.Take(Whole, Given.Columns(converter, [2])));
    }

    [Fact]
    public void Take_ReadingsAtARail_AreMarked()
    {
        VerticalConverter converter = Given.Converter(new VerticalScale());
        var hold = new PeakHold(new ColumnValues(converter), 3, new ValueChoice(Detector.Peak), new ValueChoice(Detector.Peak));

        hold.Take(Whole, Given.Columns(converter, [0, 7], [4_095], [4_094]));

        Assert.Equal([ColumnMarks.None, ColumnMarks.AtRail, ColumnMarks.None], hold.Marks.ToArray());
    }

    [Fact]
    public void RisesOnScreen_RmsVoltsOfAnOutputThatFallsBelowZero_RisesWithTheMagnitude()
    {
        var values = new ColumnValues(new VerticalConverter(new VerticalScale { Volts = new CodeVolts(0.1m, -1.1m) }, 4_095));

        Assert.False(values.RisesOnScreen(new(Detector.Average, ValueUnit.Volts)));
        Assert.True(values.RisesOnScreen(new(Detector.Rms, ValueUnit.Volts)));
        Assert.True(values.RisesOnScreen(new(Detector.Peak)));
    }

    [Fact]
    public void Take_OtherColumnCountOrMissingDomain_ThrowsAndChangesNothing()
    {
        VerticalConverter power = Given.Converter(Given.Logarithmic, AveragingDomain.Power);
        ValueChoice rms = new(Detector.Rms, ValueUnit.Level);
        var hold = new PeakHold(new ColumnValues(power), 2, rms, rms);

        Assert.Throws<ArgumentException>(() => hold.Take(Whole, Given.Columns(power, [1])));
        Assert.Throws<ArgumentException>(() => hold.Take(Whole, Given.Columns(power, [1], [1]), [ColumnMarks.None]));
        Assert.Throws<ArgumentException>(() => hold.Take(Whole, Given.Columns(Given.Converter(Given.Logarithmic), [1], [1])));
        Assert.Throws<ArgumentException>(() => new PeakHold(new ColumnValues(Given.Converter(Given.Logarithmic)), 2, rms, rms));
        Assert.Equal(0, hold.SweepsTaken);
        Assert.Equal(-1, hold.AxisNumber);
    }

    [Fact]
    public void Take_AnySweepsInAnyOrder_HoldsTheSame() =>
        Gen.Select(Gen.UShort[0, 4_095].Array[0, 4].Array[3].Array[1, 6], Gen.Int[0, 1_000]).Sample((sweeps, seed) =>
        {
            VerticalConverter converter = Given.Converter(new VerticalScale());
            var forward = new PeakHold(new ColumnValues(converter), 3);
            var shuffled = new PeakHold(new ColumnValues(converter), 3);
            ushort[][][] mixed = [.. sweeps];
            new Random(seed).Shuffle(mixed);

            foreach (ushort[][] sweep in sweeps) forward.Take(Whole, Given.Columns(converter, sweep));
            foreach (ushort[][] sweep in mixed) shuffled.Take(Whole, Given.Columns(converter, sweep));

            Assert.Equal(forward.Highest.ToArray(), shuffled.Highest.ToArray());
            Assert.Equal(forward.Lowest.ToArray(), shuffled.Lowest.ToArray());
            for (int c = 0; c < 3; c++)
            {
                double[] all = [.. sweeps.SelectMany(s => s[c]).Select(code => (double)code)];
                Assert.Equal(all.Length == 0 ? double.NaN : all.Max(), forward.Highest[c]);
                Assert.Equal(all.Length == 0 ? double.NaN : all.Min(), forward.Lowest[c]);
            }
        });

    [Fact]
    public void Take_SweepAfterSweep_AllocatesNothing()
    {
        VerticalConverter converter = Given.Converter(Given.LogarithmicBent, Given.AllDomains);
        ValueChoice average = new(Detector.Average, ValueUnit.Level);
        var hold = new PeakHold(new ColumnValues(converter), 3, average, new(Detector.Minimum));
        ColumnStatistics columns = Given.Columns(converter, [1, 2], [], [4_095]);
        ColumnMarks[] marks = new ColumnMarks[3];
        int axis = 0;

        Allocation.AssertNone(() => hold.Take(Whole with { AxisNumber = axis++ / 10 }, columns, marks));
    }
}
