using Acquire.Harness.Inspect;
using Acquire.Harness.Inspect.Findings;
using Acquire.Harness.Inspect.Spectra;

namespace Acquire.Harness.Tests.Inspect;

/// <summary>Ripple on the ramp, and what is said of the vertical then.</summary>
public sealed class RippleTests
{
    private const double RampCodes = 3_700;

    // Steep on a twentieth of the screen: a ripple of a few codes moves it by hundreds of its own.
    private static readonly Func<double, double> Steep = x => 1_500 + (800 * Math.Sin(2 * Math.PI * 20 * x));

    private static readonly Bench Bench = new() { Sweeps = 12, Signal = Steep };

    public static TheoryData<double, double> Ripples => new() { { 12, 153.9 }, { 8, 61.3 }, { 30, 331.3 } };

    [Theory]
    [MemberData(nameof(Ripples))]
    public void Find_RippleThatWasPickedUp_IsNoWaveOfTheVertical(double amplitude, double hertz)
    {
        InspectionFacts facts = (Bench with { OnRamp = Wave(amplitude, hertz) }).Look();

        Assert.Empty(facts.Close!.Verticals[0].LinesAcrossSweeps);
        string[] found = [.. Inspection.Find(facts).Select(finding => finding.Name)];
        Assert.Contains(FindingName.RampRipple, found);
        Assert.DoesNotContain(FindingName.VerticalHum, found);
    }

    // The same where the sweeps last unequally long.
    [Fact]
    public void Find_RippleOnSweepsOfUnequalLength_IsNoWaveOfTheVertical()
    {
        Bench bench = Bench with { OnRamp = Wave(12, 153.9), Stretch = sweep => 1 + (0.02 * sweep % 0.07) };

        Assert.Empty(bench.Look().Close!.Verticals[0].LinesAcrossSweeps);
    }

    // The ripple moves the beam, so that the picture goes with the codes that were read, whether the setup says so or not.
    [Theory]
    [MemberData(nameof(Ripples))]
    public void Find_RippleThatIsReal_IsNoWaveOfTheVertical(double amplitude, double hertz)
    {
        Func<long, double> ripple = Wave(amplitude, hertz);
        InspectionFacts facts = (Bench with { OnRamp = ripple, OnVertical = Moved }).Look();

        Assert.Empty(facts.Close!.Verticals[0].LinesAcrossSweeps);

        double Moved(long scan)
        {
            double x = ((scan % 4_500) - 300) / 4_000.0;
            return x is < 0 or >= 1 ? 0 : Steep(x + (ripple(scan) / RampCodes)) - Steep(x);
        }
    }

    [Theory]
    [MemberData(nameof(Ripples))]
    public void Find_RippleAndHumOfItsFrequency_HasTheHumsAmplitude(double amplitude, double hertz)
    {
        InspectionFacts facts = (Bench with { OnRamp = Wave(amplitude, hertz), OnVertical = Wave(40, hertz, 1) }).Look();

        SpectralLine line = facts.Close!.Verticals[0].LinesAcrossSweeps[0];
        Assert.InRange(line.Amplitude, 0.97 * 40, 1.03 * 40);
        Assert.Equal(hertz, line.CyclesPerScan * 20_000, 0.05);
        Assert.Contains(Inspection.Find(facts), finding => finding.Name == FindingName.VerticalHum);
    }

    [Fact]
    public void Find_RippleAndHumOfAnotherFrequency_HasTheHumsAmplitude()
    {
        SpectralLine line = (Bench with { OnRamp = Wave(12, 153.9), OnVertical = Wave(40, 51.2, 1) }).Look().Close!.Verticals[0].LinesAcrossSweeps[0];

        Assert.InRange(line.Amplitude, 0.97 * 40, 1.03 * 40);
        Assert.Equal(51.2, line.CyclesPerScan * 20_000, 0.05);
    }

    private static Func<long, double> Wave(double amplitude, double hertz, double phase = 0) =>
        scan => amplitude * Math.Sin((2 * Math.PI * hertz * scan / 20_000) + phase);
}
