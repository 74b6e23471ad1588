using Acquire.Scales;
using Acquire.Traces;
using CsCheck;
using MathNet.Numerics.Statistics;

namespace Acquire.Tests.Traces;

public class TraceBandwidthTests
{
    private const double Unfilled = double.NaN;

    [Fact]
    public void PeakBandwidth_TriangleOnALogarithmicScale_InterpolatesBothEdges()
    {
        // 10 dB per column on both sides of column 3.
        double[] positions = [0, 100, 200, 300, 400, 500, 600];
        double[] values = [-30, -20, -10, 0, -10, -20, -30];

        BandwidthReading reading = TraceMarkers.PeakBandwidth(positions, values, -3);

        Assert.True(reading.IsFound);
        Assert.Equal(270, reading.Lower, 1e-9);
        Assert.Equal(330, reading.Upper, 1e-9);
        Assert.Equal(60, reading.Width, 1e-9);
        Assert.Equal(300, reading.Centre, 1e-9);
        Assert.Equal(5, reading.Q, 1e-9);
        Assert.False(reading.Bridged);
        Assert.Equal(2, TraceMarkers.PeakShapeFactor(positions, values, -20, -10).ShapeFactor, 1e-9);
    }

    [Fact]
    public void PeakBandwidth_AxisThatFalls_HasTheLowerEdgeFirstAllTheSame()
    {
        BandwidthReading reading = TraceMarkers.PeakBandwidth([500, 400, 300], [-20, 0, -10], -5);

        Assert.Equal(350, reading.Lower, 1e-9);
        Assert.Equal(425, reading.Upper, 1e-9);
    }

    [Fact]
    public void PeakBandwidth_UnfilledColumnsAtAnEdge_AreBridgedAndMarked()
    {
        BandwidthReading reading = TraceMarkers.PeakBandwidth([0, 1, 2, 3, 4], [-20, Unfilled, 0, -10, -20], -10);

        Assert.True(reading.Bridged);
        Assert.Equal(1, reading.Lower, 1e-12);
        Assert.Equal(3, reading.Upper, 1e-12);
    }

    // Flanks of a notch that leave the trace cross deeper levels only.
    [Fact]
    public void Explain_NotchWhoseFlanksLeaveTheTrace_AdvisesALevelNearItsBottom()
    {
        double[] positions = [0, 1, 2], values = [-5, -20, 0];
        BandwidthReading outside = TraceMarkers.NotchBandwidth(positions, values, -3, shoulder: 0);

        Assert.Equal(MarkerOutcome.LowerEdgeNotReached, outside.Outcome);
        Assert.Contains("closer to the top of a peak, to the bottom of a notch", TraceMarkers.Explain(outside.Outcome), StringComparison.Ordinal);
        Assert.True(TraceMarkers.NotchBandwidth(positions, values, -10, shoulder: 0).IsFound);
    }

    [Fact]
    public void Bandwidth_TraceThatEndsTooEarly_NamesTheSide()
    {
        Assert.Equal(MarkerOutcome.LowerEdgeNotReached, TraceMarkers.PeakBandwidth([0, 1, 2], [-1, 0, -10], -3).Outcome);
        Assert.Equal(MarkerOutcome.UpperEdgeNotReached, TraceMarkers.PeakBandwidth([0, 1, 2], [-10, 0, -1], -3).Outcome);
        Assert.Equal(MarkerOutcome.UpperEdgeNotReached, TraceMarkers.PeakBandwidth([2, 1, 0], [-1, 0, -10], -3).Outcome);
        Assert.Equal(MarkerOutcome.NothingFilled, TraceMarkers.PeakBandwidth([0], [Unfilled], -3).Outcome);
        Assert.Equal(MarkerOutcome.Unfilled, TraceMarkers.PeakBandwidth([0, 1], [0, Unfilled], -3, column: 1).Outcome);
        Assert.Equal(MarkerOutcome.OutsideTrace, TraceMarkers.PeakBandwidth([0, 1], [0, -9], -3, column: 2).Outcome);
        Assert.Equal(MarkerOutcome.NotDeepEnough, TraceMarkers.NotchBandwidth([0, 1, 2], [0, -2, 0], -3, shoulder: 0).Outcome);
        Assert.Equal(MarkerOutcome.LowerEdgeNotReached, TraceMarkers.PeakShapeFactor([0, 1, 2], [-5, 0, -10], -9, -3).Outcome);
    }

    [Theory]
    [InlineData(0)]
    [InlineData(3)]
    [InlineData(double.NaN)]
    [InlineData(double.NegativeInfinity)]
    public void Bandwidth_LevelThatIsNotBelow_Throws(double levelDb)
    {
        Assert.Throws<ArgumentOutOfRangeException>(() => TraceMarkers.PeakBandwidth([0], [0], levelDb));
        Assert.Throws<ArgumentOutOfRangeException>(() => TraceMarkers.NotchBandwidth([0], [0], levelDb));
    }

    [Fact]
    public void ShapeFactor_LevelThatIsNotBelow_NamesTheArgument()
    {
        Assert.Equal("innerDb", Assert.Throws<ArgumentOutOfRangeException>(() => TraceMarkers.PeakShapeFactor([0], [0], -60, 0)).ParamName);
        Assert.Equal("innerDb", Assert.Throws<ArgumentOutOfRangeException>(() => TraceMarkers.NotchShapeFactor([0], [0], -60, 0)).ParamName);
        Assert.Equal("outerDb", Assert.Throws<ArgumentOutOfRangeException>(() => TraceMarkers.PeakShapeFactor([0], [0], double.NegativeInfinity)).ParamName);
    }

    [Fact]
    public void NotchBandwidth_BottomWithoutInput_StillHasItsEdges()
    {
        BandwidthReading reading = TraceMarkers.NotchBandwidth([0, 1, 2, 3, 4], [0, -10, double.NegativeInfinity, -10, 0], -5, shoulder: 0);

        Assert.Equal(0.5, reading.Lower, 1e-12);
        Assert.Equal(3.5, reading.Upper, 1e-12);
        Assert.Equal(1, TraceMarkers.NotchBandwidth([0, 1, 2, 3, 4], [0, -4, double.NegativeInfinity, -4, 0], -5, shoulder: 0).Lower, 1e-12);
    }

    // Noise of a rested output lies about no input, and an offset may take all of it below: no decibels, and no edges in wrong order.
    [Fact]
    public void Bandwidth_LevelThatCountsFromNoInput_HasNone()
    {
        const double None = double.NegativeInfinity;
        foreach (VerticalLaw law in new[] { VerticalLaw.Voltage, VerticalLaw.Power })
        {
            Assert.Equal(MarkerOutcome.NoInput, TraceMarkers.PeakBandwidth([0, 1, 2, 3, 4], [-3, -2, -1, -2, -3], -3, law: law).Outcome);
            Assert.Equal(MarkerOutcome.NoInput, TraceMarkers.PeakBandwidth([0, 1, 2], [-1, 0, -1], -3, law: law).Outcome);
            Assert.Equal(MarkerOutcome.NoInput, TraceMarkers.NotchBandwidth([0, 1, 2], [0, -1, 0], -3, law: law).Outcome);
        }

        Assert.Equal(MarkerOutcome.NoInput, TraceMarkers.PeakBandwidth([0, 1, 2], [None, None, None], -3, column: 1).Outcome);
        Assert.Equal(MarkerOutcome.NoInput, TraceMarkers.NotchBandwidth([0, 1, 2], [None, None, None], -3).Outcome);
        Assert.NotEmpty(TraceMarkers.Explain(MarkerOutcome.NoInput));
    }

    // |H|^2 = exp(-4 ln2 (f/B)^2), B the width at half power. Shape factors 60/3 dB 4.464479 and 60/6 dB 3.156863, and B6/B3 = sqrt 2
    // (Gaussian-response tables, Dishal 1959; recomputed).
    [Fact]
    public void PeakShapeFactor_GaussianFilter_IsThatOfTheHandbook()
    {
        (double[] positions, double[] values) = Sampled(-20, 20, 20_001, f => -3.010299956639812 * 4 * f * f / 9);

        Assert.Equal(3, TraceMarkers.PeakBandwidth(positions, values, TraceMarkers.HalfPowerDb).Width, 1e-5);
        ShapeFactorReading shape = TraceMarkers.PeakShapeFactor(positions, values);
        Assert.Equal(4.464479, shape.ShapeFactor, 1e-5);
        Assert.Equal(3, shape.Inner.Width, 1e-3); // at -3.01 dB, which is not quite half power
        Assert.Equal(4.464479, shape.Outer.Width / shape.Inner.Width, 1e-5);
        Assert.Equal(3.156863, TraceMarkers.PeakShapeFactor(positions, values, -60, -6.0205999132796239).ShapeFactor, 1e-5);
        Assert.Equal(3 * Math.Sqrt(2), TraceMarkers.PeakBandwidth(positions, values, -6.0205999132796239).Width, 1e-5);
    }

    // A = 10 log10(1 + w^2n): (n, w) (2, 2) 12.304489, (3, 2) 18.129134, (5, 1.5) 17.683794, (7, 2) 42.144464; any n: 3.0103 dB at w = 1
    // (Butterworth 1930; Matthaei, Young and Jones ch. 4; recomputed).
    [Theory]
    [InlineData(2, 2, 12.304489)]
    [InlineData(3, 2, 18.129134)]
    [InlineData(5, 1.5, 17.683794)]
    [InlineData(7, 2, 42.144464)]
    public void PeakBandwidth_Butterworth_IsThatOfTheHandbook(int order, double w, double attenuationDb)
    {
        (double[] positions, double[] values) = Sampled(-3, 3, 30_001, x => -10 * Math.Log10(1 + Math.Pow(x * x, order)));

        Assert.Equal(2, TraceMarkers.PeakBandwidth(positions, values, TraceMarkers.HalfPowerDb).Width, 1e-5);
        Assert.Equal(2 * w, TraceMarkers.PeakBandwidth(positions, values, -attenuationDb).Width, 1e-5);
        Assert.Equal(w, TraceMarkers.PeakShapeFactor(positions, values, -attenuationDb).ShapeFactor, 1e-5);
    }

    // A = 10 log10(1 + e^2 T_n(w)^2); the 3 dB edge lies at cosh(acosh(1/e)/n): (3, 0.5 dB) 1.167485, (5, 0.5 dB) 1.059259,
    // (5, 0.1 dB) 1.134718; (3, 0.5, w = 2) 19.216057, (5, 0.5, 2) 42.038698, (5, 0.1, 2) 34.847847 dB
    // (DLMF 18.5 for T_n; Matthaei, Young and Jones ch. 4; recomputed).
    [Theory]
    [InlineData(3, 0.1220185, 1.167485, 19.216057)]
    [InlineData(5, 0.1220185, 1.059259, 42.038698)]
    [InlineData(5, 0.0232930, 1.134718, 34.847847)]
    public void PeakBandwidth_Chebyshev_IsThatOfTheHandbook(int order, double squaredRipple, double halfPowerEdge, double attenuationDbAtTwo)
    {
        (double[] positions, double[] values) = Sampled(-3, 3, 30_001, x => -10 * Math.Log10(1 + (squaredRipple * Math.Pow(Chebyshev(order, x), 2))));

        Assert.Equal(2 * halfPowerEdge, TraceMarkers.PeakBandwidth(positions, values, TraceMarkers.HalfPowerDb).Width, 1e-5);
        Assert.Equal(4, TraceMarkers.PeakBandwidth(positions, values, -attenuationDbAtTwo).Width, 1e-5);
    }

    // Band-stop of a Butterworth low-pass (any filter handbook, low-pass to band-stop transform): |f^2 - f0^2| = B f at half power, so the
    // edges lie at sqrt(f0^2 + B^2/4) -+ B/2, their geometric mean is f0, and the width is B.
    [Fact]
    public void NotchBandwidth_ButterworthBandStop_IsThatOfTheTransform()
    {
        const double f0 = 25_000, b = 10_000;
        (double[] positions, double[] values) = Sampled(
            5_000, 55_000, 1_001, f => -10 * Math.Log10(1 + Math.Pow(b * f / ((f * f) - (f0 * f0)), 6)));
        values[400] = Unfilled;

        BandwidthReading given = TraceMarkers.NotchBandwidth(positions, values, TraceMarkers.HalfPowerDb, shoulder: 0);
        BandwidthReading median = TraceMarkers.NotchBandwidth(positions, values, TraceMarkers.HalfPowerDb);

        // Columns are 50 Hz apart; the curve bends by 3e-6 dB/Hz^2 at the lower edge against a slope of 3e-3 dB/Hz: a chord errs by 0.3 Hz at most.
        Assert.Equal(Math.Sqrt((f0 * f0) + (b * b / 4)) - (b / 2), given.Lower, 0.5);
        Assert.Equal(Math.Sqrt((f0 * f0) + (b * b / 4)) + (b / 2), given.Upper, 0.5);
        Assert.Equal(f0, given.GeometricCentre, 0.5);
        Assert.Equal(given.Centre / given.Width, given.Q, 1e-12);
        Assert.Equal(TraceMarkers.Shoulder(values), median.ReferenceValue);
        Assert.InRange(median.ReferenceValue, -0.05, 0);
        Assert.Equal(given.Width, median.Width, 30.0);
        Assert.True(TraceMarkers.NotchShapeFactor(positions, values, -40, -3, 0).ShapeFactor > 1);
    }

    [Theory]
    [InlineData(VerticalLaw.Voltage, -6.0205999132796239)]
    [InlineData(VerticalLaw.Power, -3.010299956639812)]
    public void Bandwidth_LinearValues_CountsTheLevelAsARatio(VerticalLaw law, double halfDb)
    {
        Assert.Equal(2, TraceMarkers.PeakBandwidth([0, 1, 2, 3, 4], [0, 4, 8, 4, 0], halfDb, law: law).Width, 1e-12);
        Assert.Equal(2, TraceMarkers.NotchBandwidth([0, 1, 2, 3, 4], [8, 4, 0, 4, 8], halfDb, shoulder: 8, law: law).Width, 1e-12);
    }

    // Independent library: MathNet.Numerics 5.0.0, median.
    [Fact]
    public void Shoulder_AnyTrace_IsTheMedianOfTheOuterTenths() =>
        Gen.Int[0, 20].Array[1, 60].Sample(steps =>
        {
            double[] values = [.. steps.Select(s => s == 20 ? Unfilled : s)];
            int tenth = Math.Max(1, values.Length / 10);
            double[] outer = [.. values.Where((v, i) => (i < tenth || i >= values.Length - tenth) && !double.IsNaN(v))];

            Assert.Equal(outer.Length == 0 ? Unfilled : outer.Median(), TraceMarkers.Shoulder(values), 1e-12);
        });

    internal static (double[] Positions, double[] Values) Sampled(double from, double to, int columns, Func<double, double> curve)
    {
        double[] positions = [.. Enumerable.Range(0, columns).Select(i => from + ((to - from) * i / (columns - 1)))];
        return (positions, [.. positions.Select(curve)]);
    }

    private static double Chebyshev(int order, double x) => order switch { 0 => 1, 1 => x, _ => (2 * x * Chebyshev(order - 1, x)) - Chebyshev(order - 2, x) };
}
