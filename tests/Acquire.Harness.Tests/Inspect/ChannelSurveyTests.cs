using Acquire.Capture;
using Acquire.Harness.Inspect.Survey;

namespace Acquire.Harness.Tests.Inspect;

public sealed class ChannelSurveyTests
{
    private static readonly ScanFormat Format = new() { Bits = 12 };

    [Fact]
    public void Report_ThreeCodes_LowestHighestMean()
    {
        // ramp 10 20 60, vertical 7 7 8
        ChannelReport report = Survey(0, [10, 7, 20, 7, 60, 8]);

        Assert.Equal((10, 60, 30.0), (report.LowestCode, report.HighestCode, report.MeanCode));
    }

    [Fact]
    public void Report_CodeBeyondTheBits_IsCountedAndLeftOut()
    {
        ChannelReport report = Survey(0, [10, 0, 4_096, 0, 30, 0, 9_000, 0]);

        Assert.Equal((2, 1, 9_000), (report.InvalidCodes, report.FirstInvalidScan, report.HighestOfAll));
        Assert.Equal((10, 30, 20.0), (report.LowestCode, report.HighestCode, report.MeanCode));
    }

    [Fact]
    public void Report_NoScan_SaysNothing()
    {
        ChannelReport report = Survey(0, []);

        Assert.Equal((0, -1, -1), (report.ValidCodes, report.LowestCode, report.HighestCode));
        Assert.True(double.IsNaN(report.MeanCode));
        Assert.Null(report.LikelyRole);
    }

    // Two differences are not to be had, so nobody knows the noise.
    [Fact]
    public void Report_OneScan_StandsStill()
    {
        ChannelReport report = Survey(0, [10, 7]);

        Assert.True(double.IsNaN(report.NoiseCodes));
        Assert.True(report.Still);
        Assert.Equal((null, "stands still"), (report.LikelyRole, report.Reason));
    }

    [Theory]
    [InlineData(0.7)]
    [InlineData(2)]
    [InlineData(12)]
    public void Report_NoiseOnARamp_IsMeasuredWithoutTheRamp(double noise)
    {
        ushort[] words = (new Bench() with { RampNoise = noise }).Words();

        // Rounding to whole codes adds a variance of 1/12.
        double expected = Math.Sqrt((noise * noise) + (1.0 / 12));
        Assert.InRange(Survey(0, words).NoiseCodes, 0.93 * expected, 1.07 * expected);
    }

    [Fact]
    public void Report_StaysAtARail_AreToldFromTouches()
    {
        // five scans in a row at 0, then touches of one and two scans, then four at the full code
        ushort[] ramp = [9, 0, 0, 0, 0, 0, 9, 0, 9, 0, 0, 9, 4_095, 4_095, 4_095, 4_095];

        ChannelReport report = Survey(0, [.. ramp.SelectMany(code => new[] { code, (ushort)1 })]);

        Assert.Equal(new RailReport(8, 1, 5, 1), report.LowRail);
        Assert.Equal(new RailReport(4, 1, 4, 12), report.HighRail);
        Assert.Equal(12.0 / 16, report.RailShare);
    }

    [Fact]
    public void Report_BitsNotStated_RailOfTheConverterIsSeen()
    {
        ushort[] words = (new Bench() with { RampHigh = 4_400 }).Words();

        ChannelSurvey survey = new(0, new ScanFormat { Bits = 16 });
        survey.Add(words, 2);

        Assert.True(survey.Report().HighRail.Stays >= 6);
    }

    [Fact]
    public void Report_AnyCutting_SaysTheSame()
    {
        ushort[] words = new Bench().Words();
        ChannelReport whole = Survey(0, words);
        ChannelSurvey cut = new(0, Format);
        for (int from = 0, length = 2; from < words.Length; from += length, length = 2 + (length * 7 % 501 * 2))
            cut.Add(words.AsSpan(from, Math.Min(length, words.Length - from)), 2);

        ChannelReport pieces = cut.Report();

        Assert.Equal(whole.Reason, pieces.Reason);
        Assert.Equal((whole.MeanCode, whole.NoiseCodes, whole.LowRail, whole.UsualRangeCodes), (pieces.MeanCode, pieces.NoiseCodes, pieces.LowRail, pieces.UsualRangeCodes));
    }

    [Fact]
    public void LikelyRole_RampAndVertical_AreKnownInAnyOrder()
    {
        ushort[] words = new Bench().Words();

        Assert.Equal(ChannelRole.Ramp, Survey(0, words).LikelyRole);
        Assert.Equal(ChannelRole.Vertical, Survey(1, words).LikelyRole);
    }

    [Theory]
    [InlineData(3_900, 200)]
    [InlineData(2_000, 2_400)]
    public void LikelyRole_FallingOrSmallRamp_IsARamp(double start, double end) =>
        Assert.Equal(ChannelRole.Ramp, Survey(0, (new Bench() with { RampLow = start, RampHigh = end }).Words()).LikelyRole);

    [Fact]
    public void LikelyRole_BothWays_IsARamp() =>
        Assert.Equal(ChannelRole.Ramp, Survey(0, (new Bench() with { RetraceScans = 4_000, RestScans = 0 }).Words()).LikelyRole);

    [Fact]
    public void LikelyRole_MostlyRest_IsARamp() =>
        Assert.Equal(ChannelRole.Ramp, Survey(0, (new Bench() with { RestScans = 20_000 }).Words()).LikelyRole);

    [Fact]
    public void LikelyRole_TwoLevels_IsBlanking()
    {
        ushort[] words = (new Bench() with { Signal = _ => 0, OnVertical = scan => scan % 4_500 < 400 ? 3_000 : 40 }).Words();

        Assert.Equal(ChannelRole.Blanking, Survey(1, words).LikelyRole);
    }

    [Fact]
    public void LikelyRole_NoiseOnly_IsNone() =>
        Assert.Null(Survey(1, (new Bench() with { Signal = _ => 1_000, VerticalNoise = 20 }).Words()).LikelyRole);

    private static ChannelReport Survey(int channel, ushort[] words)
    {
        ChannelSurvey survey = new(channel, Format);
        survey.Add(words, 2);
        return survey.Report();
    }
}
