using Acquire.Sources.Synthetic;
using Acquire.Sweeps;

namespace Acquire.Tests.Sweeps;

/// <summary>How far the fitted course is from where the ramp truly was, in columns of 1000, before noise and hum were added.</summary>
public sealed class FittedPositionTests
{
    private const double SweepScans = 20_000;
    private const double RateHz = SweepScans / 5; // a sweep of 5 s

    private static SyntheticOptions Bench(RampModel ramp, double scans = SweepScans, int sweeps = 3) => new()
    {
        Seed = 5,
        Sweeps = sweeps,
        ScanRateHz = scans / 5,
        Ramp = ramp,
        Sweep = new SweepTiming { SweepScans = scans, RetraceScans = scans / 20, RestScans = scans / 10, Begin = BeginPhase.Rest },
    };

    private static readonly RampModel Plain = new() { Kind = RampKind.Rising, Low = 0.03, High = 0.97 };

    /// <summary>Case, ramp, most rms error.</summary>
    public static TheoryData<string, double> Cases => new()
    {
        { "clean", 0.05 },
        { "noise", 0.15 },
        { "hum 50", 0.4 },
        { "hum 60", 0.4 },
        { "fifth", 0.3 },
        { "bow", 0.3 },
        { "bow down", 0.3 },
        { "pause", 0.3 },
        { "pause and noise", 0.3 },
        { "bow and noise", 0.3 },
    };

    private static RampModel RampOf(string name) => name switch
    {
        "noise" => Plain with { NoiseCodes = 2.5 },
        "hum 50" => Plain with { Hum = new(8) },
        "hum 60" => Plain with { Hum = new(8, 60) },
        "fifth" => Plain with { Low = 0.4, High = 0.6, NoiseCodes = 0.8 },
        "bow" => Plain with { Bow = 0.05 },
        "bow down" => Plain with { Bow = -0.05 },
        "pause" => Plain with { Pause = new(0.4, 2_000) },
        "pause and noise" => Plain with { Pause = new(0.4, 2_000), NoiseCodes = 1.5 },
        "bow and noise" => Plain with { Bow = 0.05, NoiseCodes = 2.5 },
        _ => Plain,
    };

    [Theory]
    [MemberData(nameof(Cases))]
    public void Course_TwentyScansPerColumn_IsWithinTheLimit(string name, double limit)
    {
        foreach (bool given in (ReadOnlySpan<bool>)[true, false])
        {
            SyntheticOptions options = Bench(RampOf(name));
            (double fitted, _, double share, int sweeps) = Errors(options, given);

            Assert.True(sweeps >= 2);
            Assert.True(fitted <= limit, $"{name}, edges {(given ? "given" : "learnt")}: {fitted:F3} columns rms");
            Assert.True(share >= 0.99, $"{name}: {share:P2} fitted");
        }
    }

    [Theory]
    [InlineData(20)]
    [InlineData(50)]
    [InlineData(100)]
    [InlineData(200)]
    [InlineData(300)]
    [InlineData(500)]
    [InlineData(1_000)]
    [InlineData(5_000)]
    [InlineData(100_000)]
    public void Course_AnyScanCount_IsNeverMuchWorseThanDirect(double scans)
    {
        foreach (RampModel ramp in (ReadOnlySpan<RampModel>)
                 [Plain with { NoiseCodes = 0.3 }, Plain with { NoiseCodes = 2.5 }, Plain with { Bow = 0.05, NoiseCodes = 0.3 }, Plain with { Hum = new(8), NoiseCodes = 0.3 }])
        {
            (double fitted, double direct, _, int sweeps) = Errors(Bench(ramp, scans, scans < 1_000 ? 30 : 3), given: true);

            Assert.True(sweeps >= 2);
            Assert.True(fitted <= direct + 0.02, $"{scans} scans, {ramp}: fitted {fitted:F3}, direct {direct:F3}");
        }
    }

    private static (double Fitted, double Direct, double Share, int Sweeps) Errors(SyntheticOptions options, bool given)
    {
        double trueLow = options.Ramp.Low * options.Format.FullCode, trueHigh = options.Ramp.High * options.Format.FullCode;
        TrackedBench run = TrackedBench.Run(options, RampDirection.Auto, given ? (trueLow, trueHigh) : null);
        double low = given ? trueLow : run.Found!.Value.LowCode, high = given ? trueHigh : run.Found!.Value.HighCode;
        double fitted = 0, direct = 0;
        long scans = 0, byCourse = 0;
        foreach ((long first, List<double> courses) in run.Placed)
        {
            for (int i = 0; i < courses.Count; i++)
            {
                ScanTruth truth = run.Scans[(int)first + i];
                if (truth.Phase != ScanPhase.Sweep) continue;
                double code = run.Codes[(int)first + i];
                double course = double.IsNaN(courses[i]) ? code : courses[i];
                fitted += Square((1_000 * (course - low) / (high - low)) - (1_000 * truth.Fraction));
                direct += Square((1_000 * (code - low) / (high - low)) - (1_000 * truth.Fraction));
                scans++;
                if (!double.IsNaN(courses[i])) byCourse++;
            }
        }

        return (Math.Sqrt(fitted / scans), Math.Sqrt(direct / scans), (double)byCourse / scans, run.Sweeps.Count);
    }

    private static double Square(double x) => x * x;
}
