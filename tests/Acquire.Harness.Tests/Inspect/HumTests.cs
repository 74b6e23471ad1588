using Acquire.Harness.Inspect;
using Acquire.Harness.Inspect.Findings;
using Acquire.Harness.Inspect.Spectra;

namespace Acquire.Harness.Tests.Inspect;

/// <summary>Amplitude and frequency of hum, of which the mean over the sweeps takes part.</summary>
public sealed class HumTests
{
    // A bench's sweep with retrace and rest takes 4 500 scans.
    private const double PeriodSeconds = 4_500 / 20_000.0;

    // A line stands 50 times above its floor in power: noise moves what barely does by a tenth, these stand higher.
    private const double Tolerance = 0.03;

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

    private static Func<long, double> Wave(double hertz, double amplitude) => scan => amplitude * Math.Sin((2 * Math.PI * hertz * scan / 20_000) + 1);
}
