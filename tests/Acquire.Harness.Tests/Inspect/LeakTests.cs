using Acquire.Harness.Inspect;
using Acquire.Harness.Inspect.Findings;
using Acquire.Harness.Inspect.Spectra;

namespace Acquire.Harness.Tests.Inspect;

/// <summary>A vertical in the ramp: how much of it, and what only looks like it.</summary>
public sealed class LeakTests
{
    [Theory]
    [InlineData(0.005)]
    [InlineData(0.02)]
    [InlineData(-0.01)]
    public void Look_ShareOfTheVerticalOnTheRamp_IsMeasured(double share)
    {
        InspectionFacts facts = (new Bench() with { Change = words => Leak(words, share) }).Look();

        CrosstalkReport leak = facts.Close!.Verticals[0].InRamp;
        // Codes are whole and the ramp's noise is one code and a half: a tenth of the share.
        Assert.InRange(leak.Gain / share, 0.9, 1.1);
        Assert.Contains(Inspection.Find(facts), f => f.Name == FindingName.RampCarriesVertical);
    }

    // The ramp's slope changes, or it jumps, stands still or bends right where the response is.
    [Theory]
    [InlineData("kink")]
    [InlineData("jump")]
    [InlineData("pause")]
    [InlineData("bow")]
    public void Find_RampThatBendsBesideAResponse_CarriesNoVertical(string what)
    {
        Func<double, double> course = what switch
        {
            "kink" => x => x < 0.4 ? 1.05 * x : 0.42 + ((x - 0.4) * 0.58 / 0.6),
            "jump" => x => (0.99 * x) + (x >= 0.4 ? 0.01 : 0),
            "pause" => x => x < 0.4 ? x : Math.Max(0.4, x - 0.02) + (0.02 * Math.Max(0, x - 0.42) / 0.58),
            _ => x => x + (0.2 * x * (1 - x)),
        };

        IReadOnlyList<Finding> findings = Inspection.Find((new Bench() with { Course = course }).Look());

        Assert.DoesNotContain(findings, f => f.Name == FindingName.RampCarriesVertical);
    }

    [Fact]
    public void Find_MainsOnBoth_IsNoLeak()
    {
        Func<long, double> hum = scan => Math.Sin(2 * Math.PI * 50 * scan / 20_000);

        IReadOnlyList<Finding> findings = Inspection.Find((new Bench() with { OnRamp = s => 20 * hum(s), OnVertical = s => 60 * hum(s), Signal = _ => 900 }).Look());

        Assert.Contains(findings, f => f.Name == FindingName.RampRipple);
        Assert.DoesNotContain(findings, f => f.Name == FindingName.RampCarriesVertical);
    }

    private static void Leak(ushort[] words, double share)
    {
        for (int i = 0; i < words.Length; i += 2) words[i] = (ushort)Math.Round(words[i] + (share * words[i + 1]));
    }
}
