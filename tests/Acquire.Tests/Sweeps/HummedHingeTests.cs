using Acquire.Sweeps;
using MathNet.Numerics.LinearAlgebra;

namespace Acquire.Tests.Sweeps;

/// <summary>A corner under hum is where it was made, and what few unknowns explain is what an independent library says.</summary>
public sealed class HummedHingeTests
{
    private const double Rest = 500;

    // Hum of many times what the ramp moves in a scan: lines alone meet far from the corner.
    [Theory]
    [InlineData(40, 0.3)]
    [InlineData(97, 0.5)]
    [InlineData(160, 0.2)]
    [InlineData(160, 2.5)]
    public void Meet_StrongHum_IsWhereTheRampBegins(double period, double slope)
    {
        for (int phase = 0; phase < 8; phase++)
        {
            RampHistory history = Hummed(scans: 900, corner: 700.3, slope, amplitude: 12 * slope, period, phase / 8.0, noise: 0.5);

            Assert.True(new HummedHinge().TryMeet(history, 0, 690, 900, reach: 60, default, Sigma, out double at, out LineFit ramp));

            // 200 scans of a slope of 0.2 with 0.6 codes of noise tell where it begins to within a scan or so (three deviations of the line's
            // end, 3 * 2 * 0.6 / sqrt(200) / 0.2 = 1.3), and the hum takes half as much again.
            Assert.Equal(700.3, at, 0.4 / slope);

            // The level is told by 700 scans: three deviations, and the hum as much again.
            Assert.Equal(Rest, ramp.After(at - 899), 0.14);
            Assert.Equal(899 - Math.Floor(at), ramp.Scans);
            // Deviation of the slope of a line through 200 scans, sigma * sqrt(12 / n^3), three times, and half as much again.
            Assert.Equal(slope, ramp.Slope, 0.0034);
        }
    }

    // A rectifier's hum, a dimmer's: a sine wave alone leaves far more than noise does.
    [Theory]
    [InlineData(0.5, 0)]
    [InlineData(0, 0.33)]
    [InlineData(0.3, 0.2)]
    public void Meet_HumWithHarmonics_IsWhereTheRampBegins(double second, double third)
    {
        const double slope = 0.5, period = 97;
        for (int phase = 0; phase < 8; phase++)
        {
            RampHistory history = History(900, Level, noise: 0.5);

            Assert.True(new HummedHinge().TryMeet(history, 0, 690, 900, reach: 60, default, Sigma, out double at, out LineFit ramp));

            // As without harmonics, and for each a third more.
            Assert.Equal(700.3, at, 0.6 / slope);
            Assert.Equal(Rest, ramp.After(at - 899), 0.2);
            Assert.Equal(slope, ramp.Slope, 0.005);

            double Level(int scan)
            {
                double turn = 2 * Math.PI * ((scan / period) + (phase / 8.0));
                return Rest + (slope * Math.Max(0, scan - 700.3)) + (6 * (Math.Sin(turn) + (second * Math.Sin((2 * turn) + 1)) + (third * Math.Sin((3 * turn) + 2))));
            }
        }
    }

    // Strong hum moves the place near which the corner is looked for as well.
    [Fact]
    public void Meet_FurtherThanTheReach_IsWhereTheRampBegins()
    {
        RampHistory history = Hummed(900, 700.3, 0.5, amplitude: 6, period: 97, phase: 0.2, noise: 0.5);

        Assert.True(new HummedHinge().TryMeet(history, 0, 730, 900, reach: 20, default, Sigma, out double at, out _));
        Assert.Equal(700.3, at, 0.8);
    }

    [Fact]
    public void Meet_SlowHumKnownFromBefore_IsWhereTheRampBegins()
    {
        HummedHinge hinge = new();
        Assert.True(hinge.TryMeet(Hummed(900, 700.3, 0.5, 6, 200, 0.1, 0.5), 0, 690, 900, 60, default, Sigma, out _, out _));
        RampHistory shorter = Hummed(scans: 230, corner: 130.7, slope: 0.5, amplitude: 6, period: 200, phase: 0.6, noise: 0.5);

        // One cycle and a seventh: of unknown frequency it may be a bend.
        Assert.False(new HummedHinge().TryMeet(shorter, 0, 120, 230, 60, default, Sigma, out _, out _));
        Assert.True(hinge.TryMeet(shorter, 0, 120, 230, 60, default, Sigma, out double at, out _));
        Assert.Equal(130.7, at, 2.0);
    }

    [Fact]
    public void Meet_NoHum_IsLeftAlone()
    {
        Assert.False(new HummedHinge().TryMeet(Hummed(900, 700.3, 0.5, amplitude: 0, 100, 0, 0.5), 0, 690, 900, 60, default, Sigma, out _, out _));
    }

    // A flyback before the rest is no hum.
    [Fact]
    public void Meet_ScansOfAFlyback_IsLeftAlone()
    {
        RampHistory history = History(900, scan => Rest + (scan < 60 ? 4 * (60 - scan) : 0) + Math.Max(0, 0.5 * (scan - 700)) + (6 * Math.Sin(scan / 16.0)), 0.5);

        Assert.False(new HummedHinge().TryMeet(history, 0, 690, 900, 60, default, Sigma, out _, out _));
    }

    // Independent library: MathNet.Numerics 5.0.0, linear least squares by QR.
    [Theory]
    [InlineData(1)]
    [InlineData(3)]
    [InlineData(4)]
    public void Explained_AnyUnknowns_IsThatOfAnIndependentLibrary(int unknowns)
    {
        Random random = new(7);
        for (int round = 0; round < 50; round++)
        {
            Matrix<double> given = Matrix<double>.Build.Dense(30, unknowns, (_, _) => random.NextDouble() - 0.5);
            Vector<double> measured = Vector<double>.Build.Dense(30, _ => random.NextDouble() - 0.5);
            Vector<double> fitted = given * given.QR().Solve(measured);
            NormalEquations sums = new(most: 4);
            for (int i = 0; i < unknowns; i++)
            {
                for (int j = i; j < unknowns; j++) sums.Set(i, j, given.Column(i) * given.Column(j));
                sums.SetRight(i, given.Column(i) * measured);
            }

            Assert.Equal(fitted * fitted, sums.Explained(unknowns), 1e-12);
        }
    }

    // Independent library: MathNet.Numerics 5.0.0, linear least squares by QR, of a level, each harmonic's two parts, and a line that leaves the level.
    [Theory]
    [InlineData(0, 1)]
    [InlineData(1, 1)]
    [InlineData(2, 1)]
    [InlineData(3, 1)]
    [InlineData(3, 3)]
    public void FitOfHum_AnyHarmonics_IsThatOfAnIndependentLibrary(int harmonics, int block)
    {
        const int points = 200;
        Random random = new(7);
        RampHistory history = History(points * block, scan => Rest + Math.Max(0, 0.5 * (scan - 120)), noise: 5);
        Vector<double> measured = Vector<double>.Build.Dense(points, i => history.Mean(i * block, (i + 1) * block));
        HumFit fit = new();
        fit.Take(history, 0, points, block, zero: 100, default);
        for (int round = 0; round < 20; round++)
        {
            // A cycle and a half of the stretch to a third of the points.
            double turn = 2 * Math.PI / block * (0.0075 + (0.1 * random.NextDouble())), at = (-90 * random.NextDouble()) + ((points * block) - 120);
            Matrix<double> given = Matrix<double>.Build.Dense(points, 2 + (2 * harmonics), (i, unknown) => Part(unknown, turn, at, (i * block) + ((block - 1) / 2.0) - 100));
            Vector<double> found = given.QR().Solve(measured), fitted = given * found;
            double mean = measured.Average(), explained = (fitted - mean) * (fitted - mean);

            fit.SetHum(turn, harmonics);

            Assert.Equal(explained, fit.Explained(at), 1e-6 * explained);
            (double code, double slope) = fit.LineAt(at);
            Assert.Equal((found[0], found[^1]), (code, slope), Near);
        }

        double Part(int unknown, double turn, double at, double time) =>
            unknown == 0 ? 1
            : unknown > 2 * harmonics ? Math.Max(0, time - at)
            : unknown % 2 == 1 ? Math.Cos((unknown + 1) / 2 * turn * time)
            : Math.Sin(unknown / 2 * turn * time);

        static bool Near((double Code, double Slope) one, (double Code, double Slope) other) =>
            Math.Abs(one.Code - other.Code) < 1e-6 && Math.Abs(one.Slope - other.Slope) < 1e-7;
    }

    [Fact]
    public void Explained_OneUnknownTwice_CountsItOnce()
    {
        NormalEquations sums = new(most: 2);
        sums.Set(0, 0, 4);
        sums.Set(0, 1, 12);
        sums.Set(1, 1, 36);
        sums.SetRight(0, 2);
        sums.SetRight(1, 6);

        Assert.Equal(1, sums.Explained(2), 1e-12);
    }

    // Half a code rms of noise and the converter's rounding.
    private static double Sigma => Math.Sqrt((0.5 * 0.5) + (1.0 / 12));

    private static RampHistory Hummed(int scans, double corner, double slope, double amplitude, double period, double phase, double noise) =>
        History(scans, scan => Rest + (slope * Math.Max(0, scan - corner)) + (amplitude * Math.Sin(2 * Math.PI * ((scan / period) + phase))), noise);

    private static RampHistory History(int scans, Func<int, double> level, double noise) =>
        RampHistories.Of([.. Enumerable.Range(0, scans).Select(level)], noise, new Random(3));
}
