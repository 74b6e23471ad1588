using Acquire.Scales;
using Acquire.Sources.Synthetic;

namespace Acquire.Sources.Tests.Synthetic;

/// <summary>Verticals against facts from outside: noise statistics, resolution filter, sweep rate, video filter, quantising noise.</summary>
public sealed class VerticalSignalTests
{
    private const int ManyScans = 400_000;

    /// <summary>A 16-bit converter over 160 dB: a code is 0.0027 dB, so rounding does not show in the statistics.</summary>
    private static SyntheticOptions Level(VerticalModel vertical, double sweepScans = 10_000) => new()
    {
        Bits = 16,
        Verticals = [vertical with { TopDb = 20, BottomDb = -140, TopShare = 0.98, BottomShare = 0.02 }],
        Sweep = new() { SweepScans = sweepScans, RetraceScans = 0, RestScans = 0 },
        Scans = ManyScans,
    };

    [Theory] // Narrow-band Gaussian noise: E[ln X] = -gamma for an exponential X (DLMF 5.2(ii), Abramowitz & Stegun 6.1.3)
    [InlineData(-40)]
    [InlineData(-60)]
    public void NoiseFloor_LogarithmicVertical_HasTheMeanAndSpreadOfRayleighNoise(double floorDb)
    {
        double[] levels = LevelsOf(Level(new() { SourceDb = null, NoiseFloorDb = floorDb }));

        double mean = levels.Average(), power = levels.Average(l => Math.Pow(10, l / 10)), voltage = levels.Average(l => Math.Pow(10, l / 20));
        double deviation = Math.Sqrt(levels.Average(l => (l - mean) * (l - mean)));
        double error = 5 / Math.Sqrt(ManyScans);
        Assert.Equal(floorDb - 2.506815781, mean, 5.57 * error);
        Assert.Equal(5.570043, deviation, 10 * error);                                // any mean
        Assert.Equal(floorDb, 10 * Math.Log10(power), 4.4 * error);
        Assert.Equal(floorDb - 1.049101186, 20 * Math.Log10(voltage), 4.6 * error);   // mean voltage squared: pi/4
    }

    [Theory] // steady tone plus noise, log average above the noise power: (10/ln 10)(ln s + E1(s)) (Rice; E1 as DLMF 6.2)
    [InlineData(0.1, -2.083142)]
    [InlineData(1, 0.952772)]
    [InlineData(10, 10.000018)]
    public void NoiseFloor_UnderSteadySignal_HasTheLogAverageOfRice(double signalToNoise, double aboveNoiseDb)
    {
        double[] levels = LevelsOf(Level(new() { SourceDb = -50 + (10 * Math.Log10(signalToNoise)), NoiseFloorDb = -50 }));

        Assert.Equal(-50 + aboveNoiseDb, levels.Average(), 5.6 * 5 / Math.Sqrt(ManyScans));
    }

    [Theory] // |H|² = exp(-4 ln 2 (f/B)²)
    [InlineData(0.5, 3.0103)]
    [InlineData(1, 12.0412)]
    [InlineData(1.5, 27.0927)]
    [InlineData(2, 48.1648)]
    [InlineData(2.2322395, 60)] // half the shape factor 4.464479 (60 dB to 3.0103 dB)
    public void Tone_OffTheCentre_FallsAsAGaussian(double offsetInBandwidths, double lossDb)
    {
        SyntheticBench bench = new(Level(new() { SourceDb = null, Tones = [new(30_000, -20)], ResolutionHz = 1_000 }));

        double fraction = (30_000 + (offsetInBandwidths * 1_000) - 5_000) / 50_000;
        Assert.Equal(-20 - lossDb, bench.TrueLevelAt(0, fraction), 1e-4);
    }

    [Theory] // Batten, Jorgensen, MacNee & Peterson, Proc. IRE 42 (1954): sweep rate over B² to loss and apparent width
    [InlineData(0.5, 0.103215, 1.024051)]
    [InlineData(1, 0.386331, 1.093033)]
    [InlineData(2, 1.250735, 1.333747)]
    [InlineData(5, 3.842453, 2.422397)]
    public void Tone_SweptFast_IsLowerAndWider(double rateOverSquare, double lossDb, double width)
    {
        // 50 kHz in a tenth of a second is 500 kHz/s.
        double resolution = Math.Sqrt(500_000 / rateOverSquare);
        SyntheticOptions options = Level(new() { SourceDb = null, Tones = [new(30_000, 0)], ResolutionHz = resolution, SweepRateLoss = true }) with { Scans = 10_000 };
        BenchRun run = BenchRun.ToEnd(options);

        double top = run.Truth.Max(t => t.Level);
        double half = top - 3.0103;
        int above = run.Truth.Count(t => t.Level >= half);
        Assert.Equal(-lossDb, top, 1e-3);
        Assert.Equal(width * resolution, above * 5.0, 10.0); // 5 Hz per scan, one scan at each edge
    }

    [Theory] // full-scale sine: 6.0206 N + 1.7609 dB (Bennett, BSTJ 1948; IEEE Std 1241)
    [InlineData(8, 49.9257)]
    [InlineData(10, 61.9669)]
    [InlineData(12, 74.0081)]
    [InlineData(14, 86.0493)]
    public void Sine_FullScale_HasTheQuantisingNoiseOfItsBits(int bits, double signalToNoiseDb)
    {
        SyntheticOptions options = new() { Bits = bits, Verticals = [new() { Kind = VerticalKind.Sine }], Scans = 100_000 };
        BenchRun run = BenchRun.ToEnd(options);

        double amplitude = run.Bench.Format.FullCode / 2.0, noise = 0;
        for (int k = 0; k < run.ScanCount; k++)
        {
            double error = run.Word(k, 1) - run.Truth[k].Level;
            noise += error * error / run.ScanCount;
        }

        // The formula takes 2^N codes as full scale; 2^N - 1 steps are 0.034 dB less at 8 bits.
        Assert.Equal(signalToNoiseDb, 10 * Math.Log10(amplitude * amplitude / 2 / noise), 0.1);
    }

    [Fact]
    public void Video_TwoPoles_DelayARampByTheirTimeConstants()
    {
        // A level that rises in a straight line with the ramp lags by 2/(2 pi f) once settled.
        SyntheticOptions options = Level(new() { LevelFunction = (fraction, _, _) => -100 + (100 * fraction), VideoHz = 400, VideoPoles = 2 }, sweepScans: 100_000) with { Scans = 100_000 };
        BenchRun run = BenchRun.ToEnd(options);

        double delayScans = 2 / (2 * Math.PI * 400) * 100_000;
        double[] levels = LevelsOf(run);
        double rising = 100 / 100_000.0;
        double lag = Enumerable.Range(50_000, 40_000).Average(k => (run.Truth[k].Level - levels[k]) / rising);
        Assert.Equal(delayScans, lag, 0.02);
    }

    [Fact]
    public void Skew_HalfAScan_ReadsTheVerticalLater()
    {
        SyntheticOptions options = Level(new() { LevelFunction = (fraction, _, _) => fraction, DelayScans = 3 }) with { Converter = new() { SkewScans = 0.5 }, Scans = 9_000 };
        BenchRun run = BenchRun.ToEnd(options);

        for (int k = 10; k < 9_000; k++)
            Assert.Equal(run.Truth[k].Fraction - (2.5 / 10_000), run.Truth[k].Level, 1e-12);
    }

    [Fact]
    public void Needle_InEverySweep_LastsOneScanAtItsPlace()
    {
        SyntheticOptions options = new()
        {
            Verticals = [new() { SourceDb = -80, Needles = [new(0, -10), new(0.305, -20), new(1, -30)] }],
            Sweep = new() { SweepScans = 100, RetraceScans = 10, RestScans = 10 },
            Sweeps = 3,
        };
        BenchRun run = BenchRun.ToEnd(options);

        int[] places = [.. Enumerable.Range(0, run.ScanCount).Where(k => run.Truth[k].Level > -79)];
        Assert.Equal([0, 31, 120, 151, 240, 271], places); // no scan reaches fraction 1: the needle there is never read
    }

    [Theory]
    [InlineData(VerticalLaw.Voltage, -6.0206, 0.5)] // half the voltage
    [InlineData(VerticalLaw.Voltage, -20, 0.1)]     // a tenth of full scale is -20 dB
    [InlineData(VerticalLaw.Power, -10, 0.1)]
    [InlineData(VerticalLaw.Logarithmic, -25, 0.75)]
    public void Law_OfALevel_GivesItsShareOfTheScale(VerticalLaw law, double levelDb, double share)
    {
        SyntheticOptions options = new() { Bits = 16, Verticals = [new() { SourceDb = levelDb, Law = law, TopShare = 0.1, BottomShare = 0.9 }], Scans = 10 };
        BenchRun run = BenchRun.ToEnd(options);

        Assert.Equal((0.9 - (0.8 * share)) * 65_535, run.Word(0, 1), 0.6);
    }

    [Fact]
    public void Vertical_InTheFlyback_ComesBackInReverse()
    {
        SyntheticOptions options = new()
        {
            Verticals = [new() { LevelFunction = (fraction, _, _) => -100 + (100 * fraction) }],
            Sweep = new() { SweepScans = 1_000, RetraceScans = 500, RestScans = 0 },
            Sweeps = 1,
        };
        BenchRun run = BenchRun.ToEnd(options), flat = BenchRun.ToEnd(options with { Verticals = [options.Verticals[0] with { FlybackShare = 0.5 }] });

        for (int k = 1_001; k < 1_500; k++)
        {
            Assert.True(run.Word(k, 1) < run.Word(k - 1, 1));
            Assert.Equal(2_048, flat.Word(k, 1));
        }
    }

    [Fact]
    public void NoiseAndHum_OnTheVerticalsLine_AddUp()
    {
        SyntheticOptions options = new() { Bits = 16, Verticals = [new() { Kind = VerticalKind.Resting, NoiseCodes = 30, Hum = new(400, 50) }], ScanRateHz = 10_000, Scans = 100_000 };
        BenchRun run = BenchRun.ToEnd(options);

        double mean = run.Channel(1).Average(w => w), variance = run.Channel(1).Average(w => (w - mean) * (w - mean));
        Assert.Equal(32_767.5, mean, 5 * 30 / Math.Sqrt(100_000));
        Assert.Equal((400 * 400 / 2) + (30 * 30), variance, 500.0);
    }

    [Fact]
    public void SecondVertical_WithSettingsOfItsOwn_HasNoiseOfItsOwn()
    {
        SyntheticOptions options = new()
        {
            Roles = [Acquire.Capture.ChannelRole.Ramp, Acquire.Capture.ChannelRole.Vertical, Acquire.Capture.ChannelRole.Vertical],
            Verticals = [new() { Kind = VerticalKind.Resting, NoiseCodes = 100 }, new() { Kind = VerticalKind.Resting, RestingShare = 0.25, NoiseCodes = 100 }],
            Bits = 16,
            Scans = 50_000,
        };
        BenchRun run = BenchRun.ToEnd(options);

        double product = Enumerable.Range(0, 50_000).Average(k => (run.Word(k, 1) - 32_767.5) * (run.Word(k, 2) - 16_383.75));
        Assert.Equal(0, product / (100 * 100), 5 / Math.Sqrt(50_000));
    }

    [Fact]
    public void LevelFunction_OfOnesOwn_SeesFractionSweepAndPosition()
    {
        List<(double Fraction, long Sweep, long Position)> seen = [];
        SyntheticOptions options = new()
        {
            Verticals = [new() { CodeFunction = (fraction, sweep, position) => { seen.Add((fraction, sweep, position)); return position; } }],
            Sweep = new() { SweepScans = 4, RetraceScans = 0, RestScans = 0 },
            Loss = new() { Gaps = [new(6, 2)] },
            Scans = 8,
        };
        BenchRun run = BenchRun.ToEnd(options);

        Assert.Equal([(0, 0, 0), (0.25, 0, 1), (0.5, 0, 2), (0.75, 0, 3), (0, 1, 4), (0.25, 1, 5), (0, 2, 8), (0.25, 2, 9)], seen);
        Assert.Equal([0, 1, 2, 3, 4, 5, 8, 9], run.Channel(1).Select(w => (int)w));
    }

    private static double[] LevelsOf(SyntheticOptions options) => LevelsOf(BenchRun.ToEnd(options));

    private static double[] LevelsOf(BenchRun run) => [.. run.Channel(1).Select(w => -140 + (160 * ((w / 65_535.0) - 0.02) / 0.96))];
}
