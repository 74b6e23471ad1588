using Acquire.Tests.Doubles;
using Acquire.Traces;
using CsCheck;
using MathNet.Numerics;

namespace Acquire.Tests.Traces;

public class TraceMarkersTests
{
    private const double Unfilled = double.NaN;

    [Fact]
    public void ValueAt_BetweenTwoCentres_IsOnTheLineBetweenThem()
    {
        MarkerReading reading = TraceMarkers.ValueAt([10, 20, 30], [-50, -40, -60], 22.5);

        Assert.Equal(MarkerOutcome.Found, reading.Outcome);
        Assert.Equal(-45, reading.Value, 1e-12);
        Assert.Equal(22.5, reading.Position);
        Assert.Equal(1, reading.Column);
    }

    [Theory]
    [InlineData(4.9, MarkerOutcome.OutsideTrace)]
    [InlineData(5, MarkerOutcome.Found)]
    [InlineData(10, MarkerOutcome.Found)]
    [InlineData(10.1, MarkerOutcome.Unfilled)]
    [InlineData(20, MarkerOutcome.Unfilled)]
    [InlineData(30, MarkerOutcome.Found)]
    [InlineData(35, MarkerOutcome.Found)]
    [InlineData(35.1, MarkerOutcome.OutsideTrace)]
    [InlineData(double.NaN, MarkerOutcome.OutsideTrace)]
    public void ValueAt_EdgesAndUnfilledColumns_SaysWhy(double position, MarkerOutcome outcome)
    {
        Assert.Equal(outcome, TraceMarkers.ValueAt([10, 20, 30], [-50, Unfilled, -60], position).Outcome);
        Assert.Equal(outcome, TraceMarkers.ValueAt([30, 20, 10], [-60, Unfilled, -50], position).Outcome);
    }

    // A linear scale without input reads minus infinity.
    [Theory]
    [InlineData(15)]
    [InlineData(25)]
    public void ValueAt_BesideAColumnWithoutInput_IsWithoutInputFromEitherSide(double position)
    {
        const double NoInput = double.NegativeInfinity;

        Assert.Equal(NoInput, TraceMarkers.ValueAt([10, 20, 30], [NoInput, -40, NoInput], position).Value);
        Assert.Equal(NoInput, TraceMarkers.ValueAt([30, 20, 10], [NoInput, -40, NoInput], position).Value);
        Assert.Equal(NoInput, TraceMarkers.ValueAt([10, 20, 30], [NoInput, NoInput, NoInput], position).Value);
        Assert.Equal(-40, TraceMarkers.ValueAt([10, 20, 30], [NoInput, -40, NoInput], 20).Value);
    }

    [Fact]
    public void ValueAt_OneColumnOrNone_ReadsItsCentreOnly()
    {
        Assert.Equal(7, TraceMarkers.ValueAt([3.0], [7.0], 3).Value);
        Assert.Equal(MarkerOutcome.OutsideTrace, TraceMarkers.ValueAt([3.0], [7.0], 3.1).Outcome);
        Assert.Equal(MarkerOutcome.NothingFilled, TraceMarkers.ValueAt([], [], 3).Outcome);
    }

    // Independent library: MathNet.Numerics 5.0.0, linear interpolation.
    [Fact]
    public void ValueAt_AnyTraceAndPosition_AgreesWithAnIndependentInterpolation() =>
        Gen.Select(Gen.Double[-100, 0].Array[2, 50], Gen.Double[0, 1], Gen.Bool).Sample((values, share, falling) =>
        {
            double[] positions = [.. Enumerable.Range(0, values.Length).Select(i => 5_000 + (i * i * 3.0) + i)];
            double position = positions[0] + (share * (positions[^1] - positions[0]));
            double expected = Interpolate.Linear(positions, values).Interpolate(position);
            if (falling)
            {
                Array.Reverse(positions);
                values = [.. values.Reverse()];
            }

            Assert.Equal(expected, TraceMarkers.ValueAt(positions, values, position).Value, 1e-9);
        });

    [Fact]
    public void HighestAndLowest_UnfilledColumnsAndTies_FindTheFirstOfTheFilled()
    {
        double[] positions = [1, 2, 3, 4, 5];
        double[] values = [Unfilled, -3, -1, -1, -3];

        Assert.Equal(new MarkerReading(MarkerOutcome.Found, 2, 3, -1), TraceMarkers.Highest(positions, values));
        Assert.Equal(new MarkerReading(MarkerOutcome.Found, 1, 2, -3), TraceMarkers.Lowest(positions, values));
        Assert.Equal(MarkerOutcome.NothingFilled, TraceMarkers.Highest([1, 2], [Unfilled, Unfilled]).Outcome);
        Assert.Equal(MarkerOutcome.NothingFilled, TraceMarkers.Lowest([], []).Outcome);
    }

    [Fact]
    public void Difference_OfTwoMarkers_IsSecondLessFirst()
    {
        double[] positions = [1_000, 2_000, 3_000];
        double[] values = [-10, -40, -25];

        MarkerDifference difference = TraceMarkers.Difference(TraceMarkers.Highest(positions, values), TraceMarkers.Lowest(positions, values));

        Assert.Equal(new MarkerDifference(MarkerOutcome.Found, 1_000, -30), difference);
        Assert.Equal(
            MarkerOutcome.OutsideTrace,
            TraceMarkers.Difference(TraceMarkers.Highest(positions, values), TraceMarkers.ValueAt(positions, values, 9_999)).Outcome);
    }

    [Fact]
    public void FindPeaks_SmallAndLargeBumps_FindsThoseThatStandOutByTheExcursion()
    {
        //                 0    1    2    3    4    5    6    7    8    9
        double[] values = [-60, -20, -60, -57, -60, -30, -34, -29, -60, -10];
        double[] positions = [.. Enumerable.Range(0, 10).Select(i => (double)i)];
        MarkerReading[] peaks = new MarkerReading[2];

        Assert.Equal(2, TraceMarkers.FindPeaks(positions, values, 6, peaks));
        Assert.Equal([1, 7], peaks.Select(p => p.Column));
        // The right edge rises, but nobody knows how it goes on.
        Assert.Equal(4, TraceMarkers.FindPeaks(positions, values, 2, peaks));
        Assert.Equal([1, 3], peaks.Select(p => p.Column));
        Assert.Equal(0, TraceMarkers.FindPeaks(positions, values, 60, []));
    }

    [Fact]
    public void NextPeak_InEachDirection_WalksThePeaks()
    {
        double[] values = [-60, -20, -60, Unfilled, -60, -30, -60, -25, -60];
        double[] positions = [.. Enumerable.Range(0, 9).Select(i => i * 10.0)];

        Assert.Equal(1, TraceMarkers.NextPeakRight(positions, values, -1, 6).Column);
        Assert.Equal(5, TraceMarkers.NextPeakRight(positions, values, 1, 6).Column);
        Assert.Equal(MarkerOutcome.NoPeak, TraceMarkers.NextPeakRight(positions, values, 7, 6).Outcome);
        Assert.Equal(7, TraceMarkers.NextPeakLeft(positions, values, 9, 6).Column);
        Assert.Equal(1, TraceMarkers.NextPeakLeft(positions, values, 5, 6).Column);
        Assert.Equal(MarkerOutcome.NoPeak, TraceMarkers.NextPeakLeft(positions, values, 1, 6).Outcome);
        Assert.Equal(7, TraceMarkers.NextPeakLower(positions, values, 1, 6).Column);
        Assert.Equal(5, TraceMarkers.NextPeakLower(positions, values, 7, 6).Column);
        Assert.Equal(MarkerOutcome.NoPeak, TraceMarkers.NextPeakLower(positions, values, 5, 6).Outcome);
        Assert.Equal(MarkerOutcome.Unfilled, TraceMarkers.NextPeakLower(positions, values, 3, 6).Outcome);
        Assert.Equal(MarkerOutcome.OutsideTrace, TraceMarkers.NextPeakLower(positions, values, 9, 6).Outcome);
    }

    [Fact]
    public void FindPeaks_AnyTrace_AgreesWithTheDefinition() =>
        Gen.Select(Gen.Int[0, 12].Array[0, 40], Gen.Int[1, 8]).Sample((steps, excursion) =>
        {
            double[] values = [.. steps.Select(s => s == 12 ? Unfilled : s)];
            double[] positions = [.. values.Select((_, i) => (double)i)];
            MarkerReading[] peaks = new MarkerReading[values.Length];
            int count = TraceMarkers.FindPeaks(positions, values, excursion, peaks);

            Assert.Equal(PeaksByDefinition(values, excursion), peaks.Take(count).Select(p => p.Column));
        });

    [Fact]
    public void Markers_PositionsAndValuesOfDifferentLength_Throw()
    {
        Assert.Throws<ArgumentException>(() => TraceMarkers.Highest([1], [1, 2]));
        Assert.Throws<ArgumentException>(() => TraceMarkers.ValueAt([1], [1, 2], 1));
        Assert.Throws<ArgumentException>(() => TraceMarkers.PeakBandwidth([1], [1, 2], -3));
        Assert.Throws<ArgumentOutOfRangeException>(() => TraceMarkers.NextPeakLeft([1], [1], 0, 0));
    }

    [Fact]
    public void Explain_EveryOutcomeThatIsNotFound_SaysSomething()
    {
        foreach (MarkerOutcome outcome in Enum.GetValues<MarkerOutcome>())
            Assert.Equal(outcome == MarkerOutcome.Found, TraceMarkers.Explain(outcome).Length == 0);
    }

    [Fact]
    public void Markers_OnATrace_AllocateNothing()
    {
        (double[] positions, double[] values) = TraceBandwidthTests.Sampled(-3, 3, 301, x => -20 * x * x);
        MarkerReading[] peaks = new MarkerReading[3];

        Allocation.AssertNone(() =>
        {
            MarkerReading top = TraceMarkers.Highest(positions, values);
            TraceMarkers.PeakShapeFactor(positions, values, -40, -3, top.Column);
            TraceMarkers.NotchBandwidth(positions, values, -3);
            TraceMarkers.FindPeaks(positions, values, 3, peaks);
            TraceMarkers.ValueAt(positions, values, 0.123);
        });
    }

    private static List<int> PeaksByDefinition(double[] values, double excursion)
    {
        List<int> peaks = [];
        for (int i = 0; i < values.Length; i++)
        {
            if (!double.IsNaN(values[i]) && FallsFirst(values, i, -1, excursion) && FallsFirst(values, i, +1, excursion)) peaks.Add(i);
        }

        return peaks;
    }

    /// <summary>Whether the trace falls by the excursion before it rises; to the left an equal value counts as rising, so that the first of equal tops is the peak.</summary>
    private static bool FallsFirst(double[] values, int from, int step, double excursion)
    {
        for (int i = from + step; i >= 0 && i < values.Length; i += step)
        {
            if (double.IsNaN(values[i])) continue;
            if (values[i] > values[from] || (step < 0 && values[i] == values[from])) return false;
            if (values[from] - values[i] >= excursion) return true;
        }

        return false;
    }
}
