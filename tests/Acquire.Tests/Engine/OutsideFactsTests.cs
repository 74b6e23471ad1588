using Acquire.Capture;
using Acquire.Columns;
using Acquire.Scales;
using Acquire.Sweeps;
using Acquire.Traces;
using MathNet.Numerics;
using MathNet.Numerics.LinearAlgebra;
using MathNet.Numerics.Statistics;

namespace Acquire.Tests.Engine;

/// <summary>Facts from outside, measured through the engine. Tolerances are four standard errors of the sample.</summary>
public class OutsideFactsTests
{
    private const double DecibelsPerNeper = 4.342944819032518; // 10 / ln 10

    // 16 bits from -90 dB to +41.07 dB: 0.002 dB a code, far finer than the noise.
    private static readonly VerticalScale FineLog = new()
    {
        Volts = new CodeVolts(0, 65_535),
        Level = [new LevelPoint(0, -90), new LevelPoint(65_535, 41.07m)],
    };

    // The envelope of narrow-band Gaussian noise: power exponential with mean 1, 0 dB. Mean of the decibels: 10/ln 10 times Euler's constant
    // (DLMF 5.2(ii)) = 2.506816 dB low; mean voltage squared: pi/4 (Rayleigh) = 1.049101 dB low; mean power: 0 dB.
    [Theory]
    [InlineData(AveragingDomain.Level, -2.506815781, 5.570043)] // deviation 10/ln 10 x pi / sqrt 6
    [InlineData(AveragingDomain.Voltage, -1.049101186, 2 * DecibelsPerNeper * 0.5227232)] // sqrt(4/pi - 1)
    [InlineData(AveragingDomain.Power, 0, DecibelsPerNeper)]
    public void Average_OfEnvelopeNoise_ReadsLowByTheKnownDecibelsOfItsDomain(AveragingDomain domain, double expectedDb, double deviationDb)
    {
        const int Scans = 150_000;
        var random = new Random(71);
        SweepRecord.Kept sweep = ByTime(FineLog, [domain], 2, 2 * Scans, () => CodeOfPower(Exponential(random)), out SweepEngine engine);

        double[] levels = new double[2];
        new ColumnValues(engine.Verticals[0]).Read(sweep.Verticals[0], new ValueChoice(Detector.Average, ValueUnit.Level, domain), levels);

        foreach (double level in levels) Assert.Equal(expectedDb, level, 4 * deviationDb / Math.Sqrt(Scans));
    }

    // RMS of a logarithmic vertical is its power average.
    [Fact]
    public void Rms_OfEnvelopeNoise_IsTheMeanPower()
    {
        const int Scans = 100_000;
        var random = new Random(72);
        SweepRecord.Kept sweep = ByTime(FineLog, [AveragingDomain.Power], 2, 2 * Scans, () => CodeOfPower(Exponential(random)), out SweepEngine engine);

        double[] levels = new double[2];
        new ColumnValues(engine.Verticals[0]).Read(sweep.Verticals[0], new ValueChoice(Detector.Rms, ValueUnit.Level), levels);

        foreach (double level in levels) Assert.Equal(0, level, 4 * DecibelsPerNeper / Math.Sqrt(Scans));
    }

    // The highest of N exponential powers has the mean H_N = 1 + 1/2 + ... + 1/N and the variance 1 + 1/4 + ... + 1/N^2, the lowest the
    // mean 1/N (order statistics of the exponential). The mean of the highest's decibels: by integration.
    [Theory]
    [InlineData(2, 1.5, 0.503484)]
    [InlineData(5, 2.2833333, 2.997358)]
    [InlineData(10, 2.928968, 4.298969)]
    [InlineData(100, 5.187378, 7.028116)]
    public void PeakAndMinimum_OfNIndependentPowers_FollowTheHarmonicNumbers(int n, double harmonic, double meanPeakDb)
    {
        const int Columns = 4_000;
        var random = new Random(n);
        SweepRecord.Kept sweep = ByTime(FineLog, [], Columns, Columns * n, () => CodeOfPower(Exponential(random)), out SweepEngine engine);
        var reader = new ColumnValues(engine.Verticals[0]);
        double[] peaks = new double[Columns], minima = new double[Columns];
        reader.Read(sweep.Verticals[0], new ValueChoice(Detector.Peak, ValueUnit.Level), peaks);
        reader.Read(sweep.Verticals[0], new ValueChoice(Detector.Minimum, ValueUnit.Level), minima);

        double variance = Enumerable.Range(1, n).Sum(k => 1.0 / ((double)k * k));
        Assert.Equal(harmonic, peaks.Select(PowerOf).Mean(), 4 * Math.Sqrt(variance / Columns));
        Assert.Equal(1.0 / n, minima.Select(PowerOf).Mean(), 4.0 / n / Math.Sqrt(Columns));
        Assert.Equal(meanPeakDb, peaks.Mean(), 4 * peaks.StandardDeviation() / Math.Sqrt(Columns));
    }

    // Signal to quantising noise of a full-scale sine: 20 log10(2^N sqrt 1.5) = 6.0206 N + 1.7609 dB (Bennett, BSTJ 1948; IEEE Std 1241),
    // by the three-parameter sine fit of IEEE Std 1057 on the samples that the engine kept, one scan a column.
    [Theory]
    [InlineData(8, 49.9257)]
    [InlineData(10, 61.9669)]
    [InlineData(12, 74.0081)]
    [InlineData(14, 86.0493)]
    [InlineData(16, 98.0905)]
    public void Sample_OfAQuantisedFullScaleSine_HasTheIdealSignalToNoiseRatio(int bits, double expectedDb)
    {
        const int Scans = 16_384, Periods = 1_021; // no common factor: every scan has a phase of its own
        double half = ((1 << bits) - 1) / 2.0;
        int scan = 0;
        SweepRecord.Kept sweep = ByTime(
            new VerticalScale(), [], Scans, Scans, () => (ushort)Math.Round(half + (half * Math.Sin(2 * Math.PI * Periods * scan++ / Scans))), out SweepEngine _, bits);

        Matrix<double> model = Matrix<double>.Build.Dense(Scans, 3, (i, p) => p switch
        {
            0 => Math.Sin(2 * Math.PI * Periods * i / Scans),
            1 => Math.Cos(2 * Math.PI * Periods * i / Scans),
            _ => 1,
        });
        Vector<double> samples = Vector<double>.Build.Dense(Scans, i => sweep.Verticals[0].LastCodes[i]);
        Vector<double> fit = model.TransposeThisAndMultiply(model).Solve(model.TransposeThisAndMultiply(samples));
        double residual = (samples - (model * fit)).L2Norm() / Math.Sqrt(Scans);
        double amplitude = Math.Sqrt((fit[0] * fit[0]) + (fit[1] * fit[1]));

        // The variance of evenly distributed noise is known from n samples to sqrt(0.8 / n) of itself; a sine takes each value four times,
        // but for the sign.
        double tolerance = 4 * DecibelsPerNeper * Math.Sqrt(0.8 / (Scans / 4));
        Assert.Equal(expectedDb, 20 * Math.Log10(amplitude / Math.Sqrt(2) / residual), tolerance);
    }

    // The mean of M powers in decibels: 10/ln 10 (psi(M) - ln M) low (digamma, DLMF 5.4). Here M scans a column, then the mean of the columns.
    [Theory]
    [InlineData(4, -0.565350)]
    [InlineData(10, -0.220763)]
    public void Average_OfAFewPowersPerColumn_ReadsLowByTheDigammaLaw(int scansPerColumn, double expectedDb)
    {
        const int Columns = 20_000;
        var random = new Random(scansPerColumn);
        SweepRecord.Kept sweep = ByTime(
            FineLog, [AveragingDomain.Power], Columns, Columns * scansPerColumn, () => CodeOfPower(Exponential(random)), out SweepEngine engine);
        double[] levels = new double[Columns];
        new ColumnValues(engine.Verticals[0]).Read(sweep.Verticals[0], new ValueChoice(Detector.Average, ValueUnit.Level, AveragingDomain.Power), levels);

        Assert.Equal(expectedDb, levels.Mean(), 4 * levels.StandardDeviation() / Math.Sqrt(Columns));
    }

    // An independent library (MathNet.Numerics) on the scans of each column of a ramp.
    [Fact]
    public void Columns_OfARamp_HaveTheMomentsOfAnIndependentLibrary()
    {
        const int Columns = 23, SweepScans = 4_000;
        var setup = new Setup
        {
            Scan = new ScanFormat { Bits = 16 },
            Sweep = new SweepOptions { Edges = new SweepEdges(5_000, 60_000), Direction = RampDirection.Rising },
            Columns = new ColumnOptions { ColumnCount = Columns, Placement = Placement.Direct },
        };
        var random = new Random(5);
        var stream = new ScanStream(setup.Scan);
        for (int sweep = 0; sweep < 4; sweep++)
        {
            for (int i = 0; i < SweepScans; i++) stream.Add((ushort)(5_000 + (55_000L * i / SweepScans)), (ushort)random.Next(65_536));
            for (int i = 0; i < 100; i++) stream.Add((ushort)(60_000 - (550 * i)), 0);
        }

        var sweeps = new SweepRecord();
        SweepEngine engine = stream.FeedAll(new SweepEngine(setup, sweeps, 1 << 15));
        var reader = new ColumnValues(engine.Verticals[0]);
        double[] means = new double[Columns], rms = new double[Columns];
        foreach (SweepRecord.Kept sweep in sweeps.Sweeps)
        {
            ColumnStatistics columns = sweep.Verticals[0];
            reader.Read(columns, new ValueChoice(Detector.Average), means);
            reader.Read(columns, new ValueChoice(Detector.Rms), rms);
            for (int c = 0; c < Columns; c++)
            {
                double[] codes = [.. Enumerable.Range((int)sweep.Info.StartScan, (int)(sweep.Info.EndScan - sweep.Info.StartScan))
                    .Where(s => Math.Min((stream[s, 0] - 5_000) * Columns / 55_000, Columns - 1) == c).Select(s => (double)stream[s, 1])];
                Assert.True(codes.Length > 100);
                Assert.Equal(codes.Length, columns.Counts[c]);
                Assert.Equal(codes.Mean(), means[c], 1e-9);
                Assert.Equal(codes.RootMeanSquare(), rms[c], 1e-9);
                Assert.Equal(codes.Maximum(), columns.HighestCodes[c]);
                Assert.Equal(codes.Minimum(), columns.LowestCodes[c]);
                double n = columns.Counts[c], variance = (((double)columns.CodeSquareSums[c] / n) - (means[c] * means[c])) * n / (n - 1);
                Assert.Equal(codes.Variance(), variance, codes.Variance() * 1e-11);
            }
        }

        Assert.Equal(4, sweeps.Sweeps.Count);
    }

    private static double Exponential(Random random) => -Math.Log(1 - random.NextDouble());

    private static double PowerOf(double levelDb) => Math.Pow(10, levelDb / 10);

    private static ushort CodeOfPower(double power) => (ushort)Math.Clamp(Math.Round(((10 * Math.Log10(power)) + 90) / 0.002), 0, 65_535);

    /// <summary>One pass of a trace over time.</summary>
    private static SweepRecord.Kept ByTime(
        VerticalScale scale, AveragingDomain[] domains, int columns, int scans, Func<ushort> codeOfNext, out SweepEngine engine, int bits = 16)
    {
        var sweeps = new SweepRecord();
        engine = new SweepEngine(
            new Setup
            {
                Scan = new ScanFormat { Bits = bits },
                Verticals = [scale],
                Sweep = new SweepOptions { Mode = SweepMode.Time, TimeSpan = scans },
                Columns = new ColumnOptions { ColumnCount = columns, Domains = domains },
            },
            sweeps, 1 << 12);
        ushort[] words = new ushort[2 * scans];
        for (int i = 0; i < scans; i++) words[(2 * i) + 1] = codeOfNext();
        engine.Process(words);
        return Assert.Single(sweeps.Sweeps);
    }
}
