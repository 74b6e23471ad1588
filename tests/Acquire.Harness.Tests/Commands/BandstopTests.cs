using System.Text.Json;

namespace Acquire.Harness.Tests.Commands;

/// <summary>The main job on two recordings of a circuit simulator: a band-stop filter, normalised against a wire.</summary>
/// <remarks>
/// The filter is a third-order Butterworth band-stop, centre 25 kHz, bandwidth 10 kHz. Closed form, from any filter handbook (low-pass
/// prototype, low-pass to band-stop transform): -10 log10(1 + (B f / (f² - f0²))^6). Its -3.01 dB points are 20 494.9 Hz and 30 495.2 Hz.
/// The receiver's two 400 Hz poles delay the reading by 2/(2 pi 400 Hz) = 0.8 ms, which at 125 kHz/s is 100 Hz.
/// </remarks>
public class BandstopTests
{
    private const double EdgeToleranceHz = 30;

    // While the receiver settles after a retrace.
    private const int FirstColumns = 5;

    private static readonly string[] Scales =
    [
        "--bits", "12", "--ramp-volts=-5.5,5.5", "--vertical-volts=0.1,-1.1", "--axis", "5kHz,55kHz", "--level", "0V=-100dB,-1V=0dB", "--columns", "1000",
    ];

    // Two runs serve four tests.
    private static readonly Lazy<JsonElement> AsShown = new(() => Measure("--skew", "0.5"));
    private static readonly Lazy<JsonElement> WithoutDelay = new(() => Measure("--skew", "0.5", "--video-delay", "0.8ms"));

    [Fact]
    public void Replay_Normalised_PutsTheHalfPowerPointsWhereTheReceiverShowsThem()
    {
        JsonElement measurement = AsShown.Value;

        AssertEdges(measurement, 20_595, 30_595);
        Assert.True(measurement.GetProperty("normalised").GetBoolean());
        Assert.Equal(3, measurement.GetProperty("sweepsUsed").GetInt32());
        Assert.InRange(measurement.GetProperty("sweepTimeSeconds").GetDouble(), 0.395, 0.405); // 0.4 s by the simulation's ramp generator
    }

    [Fact]
    public void Replay_Normalised_IsFlatOutsideTheBand()
    {
        (double[] positions, double[] levels) = Trace(AsShown.Value);

        for (int column = FirstColumns; column < positions.Length; column++)
        {
            if (positions[column] is > 15_000 and < 37_000) continue;
            Assert.True(Math.Abs(levels[column]) <= 0.1, $"At {positions[column]} Hz the trace reads {levels[column]} dB.");
        }
    }

    [Fact]
    public void Replay_NormalisedWithVideoDelay_PutsTheHalfPowerPointsWhereTheFilterHasThem()
    {
        AssertEdges(WithoutDelay.Value, 20_495, 30_495);
    }

    [Fact]
    public void Replay_NormalisedWithVideoDelay_FollowsTheClosedForm()
    {
        (double[] positions, double[] levels) = Trace(WithoutDelay.Value);

        double sum = 0;
        int count = 0;
        for (int column = FirstColumns; column < positions.Length; column++)
        {
            double truth = ClosedFormDb(positions[column]);
            if (truth <= -40 || double.IsNaN(levels[column])) continue;
            sum += (levels[column] - truth) * (levels[column] - truth);
            count++;
        }

        Assert.True(count > 800, $"Only {count} columns lie above -40 dB.");
        Assert.True(Math.Sqrt(sum / count) <= 0.1, $"The trace is {Math.Sqrt(sum / count)} dB rms from the closed form.");
    }

    private static double ClosedFormDb(double frequencyHz)
    {
        double x = 10_000 * frequencyHz / ((frequencyHz * frequencyHz) - (25_000.0 * 25_000.0));
        return -10 * Math.Log10(1 + Math.Pow(x, 6));
    }

    private static void AssertEdges(JsonElement measurement, double lowerHz, double upperHz)
    {
        JsonElement width = Assert.Single(measurement.GetProperty("bandwidths").EnumerateArray());
        Assert.Equal("notch", width.GetProperty("kind").GetString());
        Assert.InRange(width.GetProperty("lowerHz").GetDouble(), lowerHz - EdgeToleranceHz, lowerHz + EdgeToleranceHz);
        Assert.InRange(width.GetProperty("upperHz").GetDouble(), upperHz - EdgeToleranceHz, upperHz + EdgeToleranceHz);
    }

    private static JsonElement Measure(params string[] more)
    {
        CommandResult result = AcquireCommand.Run(
            ["replay", "bandstop", "--reference", "through", "--average", "3", "--detector", "average-level", "--bandwidth=-3.01", "--json", "-", .. Scales, .. more]);
        return JsonDocument.Parse(result.AssertDone().Output).RootElement;
    }

    private static (double[] Positions, double[] Levels) Trace(JsonElement measurement)
    {
        JsonElement trace = measurement.GetProperty("trace");
        Assert.Equal("dB", trace.GetProperty("unit").GetString());
        return ([.. trace.GetProperty("positionHz").EnumerateArray().Select(p => p.GetDouble())],
            [.. trace.GetProperty("level").EnumerateArray().Select(l => l.ValueKind == JsonValueKind.Null ? double.NaN : l.GetDouble())]);
    }
}
