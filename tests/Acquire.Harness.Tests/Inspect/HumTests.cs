using Acquire.Harness.Inspect;
using Acquire.Harness.Inspect.Findings;
using Acquire.Harness.Inspect.Spectra;
using Acquire.Sweeps;

namespace Acquire.Harness.Tests.Inspect;

/// <summary>Amplitude and frequency of hum, of which the mean over the sweeps takes part.</summary>
public sealed class HumTests
{
    // A bench's sweep with retrace and rest takes 4 500 scans.
    private const double PeriodSeconds = 4_500 / 20_000.0;

    // A line stands 50 times above its floor in power: noise moves what barely does by a tenth, these stand higher.
    private const double Tolerance = 0.03;

    private const double NoisyPeriodSeconds = 25_200 / 20_000.0;

    private static readonly Bench Noisy = new() { Sweeps = 5, SweepScans = 24_000, RetraceScans = 600, RestScans = 600, RampNoise = 25 };

    public static MatrixTheoryData<int, double, double, double> Hums => new(
        [3, 4, 5, 8, 16, 64], [11.25, 11.5, 11.65, 222.8], [0, 1.5], [40, 200]);

    [Theory]
    [MemberData(nameof(Hums))]
    public void Lines_Hum_HaveItsAmplitudeWhateverTheNumberOfSweeps(int sweeps, double cyclesInAPeriod, double rampNoise, double amplitude)
    {
        double hertz = cyclesInAPeriod / PeriodSeconds;
        Bench bench = new() { Sweeps = sweeps, RampNoise = rampNoise, VerticalNoise = 2 * rampNoise, OnVertical = Wave(hertz, amplitude) };

        InspectionFacts facts = bench.Look();

        SpectralLine line = facts.Close!.Verticals[0].LinesAcrossSweeps[0];
        Assert.InRange(line.Amplitude, (1 - Tolerance) * amplitude, (1 + Tolerance) * amplitude);
        Assert.Equal(hertz, line.CyclesPerScan * 20_000, 0.05 / (sweeps * PeriodSeconds));
        Assert.Contains(Inspection.Find(facts), finding => finding.Name == FindingName.VerticalHum);
    }

    [Fact]
    public void Lines_SweepsOfUnequalLength_HaveTheWavesAmplitude()
    {
        Bench bench = new() { Sweeps = 5, Stretch = sweep => 1 + (0.02 * sweep % 0.07), OnVertical = Wave(51.2, 40) };

        Assert.InRange(bench.Look().Close!.Verticals[0].LinesAcrossSweeps[0].Amplitude, (1 - Tolerance) * 40, (1 + Tolerance) * 40);
    }

    // 400 000 scans and more become points of several: what their means lose of a wave is not lost here.
    [Fact]
    public void Lines_LongSweeps_HaveTheAmplitudeOfAFastWave()
    {
        Bench bench = new() { Sweeps = 4, SweepScans = 160_000, RetraceScans = 8_000, RestScans = 12_000, OnVertical = Wave(2_012.35, 40) };

        Assert.InRange(bench.Look().Close!.Verticals[0].LinesAcrossSweeps[0].Amplitude, (1 - Tolerance) * 40, (1 + Tolerance) * 40);
    }

    // So many codes that the frequencies tried go in several walks.
    [Fact]
    public void Lines_RampOfSixteenBits_HaveTheWavesAmplitude()
    {
        Bench bench = new()
        {
            Bits = 16,
            Sweeps = 4,
            SweepScans = 160_000,
            RetraceScans = 8_000,
            RestScans = 12_000,
            RampLow = 3_000,
            RampHigh = 62_000,
            RampNoise = 20,
            OnVertical = Wave(51.49, 400),
        };

        SpectralLine line = bench.Look().Close!.Verticals[0].LinesAcrossSweeps[0];

        Assert.InRange(line.Amplitude, (1 - Tolerance) * 400, (1 + Tolerance) * 400);
        Assert.Equal(51.49, line.CyclesPerScan * 20_000, 0.002);
    }

    [Fact]
    public void Lines_TwoWaves_HaveBothAmplitudes()
    {
        Func<long, double> slow = Wave(50, 60), fast = Wave(152.8, 40);
        Bench bench = new() { Sweeps = 4, OnVertical = scan => slow(scan) + fast(scan) };

        IReadOnlyList<SpectralLine> lines = bench.Look().Close!.Verticals[0].LinesAcrossSweeps;

        Assert.Equal(2, lines.Count);
        Assert.InRange(lines[0].Amplitude, (1 - Tolerance) * 60, (1 + Tolerance) * 60);
        Assert.InRange(lines[1].Amplitude, (1 - Tolerance) * 40, (1 + Tolerance) * 40);
    }

    // Three sweeps that begin an eighth of a cycle apart: most of the wave is taken for signal, and dividing by the rest would tell nothing.
    [Theory]
    [InlineData(11.12)]
    [InlineData(10.88)]
    [InlineData(11)]
    public void Lines_PhasesNearlyTheSame_TellNothing(double cyclesInAPeriod)
    {
        Bench bench = new() { Sweeps = 3, OnVertical = Wave(cyclesInAPeriod / PeriodSeconds, 200) };

        InspectionFacts facts = bench.Look();

        Assert.Empty(facts.Close!.Verticals[0].LinesAcrossSweeps);
        Assert.DoesNotContain(Inspection.Find(facts), finding => finding.Name == FindingName.VerticalHum);
    }

    // Noise puts the starts of these sweeps off by up to twenty scans, a quarter of a wave's cycle and more.
    public static MatrixTheoryData<int, double> Slow => new([1, 2, 3], [400.25, 1_000.5, 3_000.4]);

    [Theory]
    [MemberData(nameof(Slow))]
    public void Lines_SlowNoisyRamp_KnowWhetherAWaveRepeats(int seed, double cyclesInAPeriod)
    {
        Bench bench = Noisy with { Seed = seed, OnVertical = Wave(cyclesInAPeriod / NoisyPeriodSeconds, 40) };

        CloseLook close = bench.Look().Close!;

        Assert.InRange(close.PeriodScans, 25_200 - 3, 25_200 + 3);
        Assert.InRange(Assert.Single(close.Verticals[0].LinesAcrossSweeps).Amplitude, (1 - Tolerance) * 40, (1 + Tolerance) * 40);
    }

    // 63 turns of the mains from sweep to sweep.
    [Theory]
    [InlineData(1)]
    [InlineData(2)]
    [InlineData(3)]
    public void Find_SlowNoisyRampLockedToTheMains_SaysThatHumStandsStill(int seed)
    {
        InspectionFacts facts = (Noisy with { Seed = seed, OnVertical = Wave(50, 40) }).Look();

        Assert.Contains(Inspection.Find(facts), finding => finding.Name == FindingName.LineLockedSweep);
        Assert.Empty(facts.Close!.Verticals[0].LinesAcrossSweeps);
    }

    // Both directions look at the same picture; from one rising sweep to the next it is two of them.
    [Fact]
    public void Lines_RampThatDrawsBothWays_HaveTheWavesAmplitude()
    {
        Bench bench = new() { Sweeps = 6, RetraceScans = 4_000, RestScans = 0, Unblanked = true, OnVertical = Wave(52.9, 40) };

        CloseLook close = bench.Look(bench.Setup with { Sweep = new() { Direction = RampDirection.Both } }).Close!;

        Assert.Equal(8_000, close.PeriodScans, 0.5);
        Assert.InRange(close.Verticals[0].LinesAcrossSweeps[0].Amplitude, (1 - Tolerance) * 40, (1 + Tolerance) * 40);
    }

    // From sweep to sweep 9.8 to 10.2 cycles, in the median 10.
    [Fact]
    public void Lines_SweepsThatComeUnevenly_HaveTheWavesAmplitude()
    {
        int[] late = [4, 2, 0, 1, 4, 3, 2, 0, 0, 2, 3, 4];
        Bench bench = new() { Sweeps = 12, Stretch = sweep => 1 + (0.01 * late[sweep]), OnVertical = Wave(20_000 / 458.0, 40) };

        Assert.InRange(bench.Look().Close!.Verticals[0].LinesAcrossSweeps[0].Amplitude, (1 - Tolerance) * 40, (1 + Tolerance) * 40);
    }

    private static Func<long, double> Wave(double hertz, double amplitude) => scan => amplitude * Math.Sin((2 * Math.PI * hertz * scan / 20_000) + 1);
}
