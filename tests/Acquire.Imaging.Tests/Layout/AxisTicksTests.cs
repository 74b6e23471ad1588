using Acquire.Imaging.Layout;
using CsCheck;

namespace Acquire.Imaging.Tests.Layout;

public class AxisTicksTests
{
    [Fact]
    public void Plan_FiveToFiftyFiveKilohertz_TensOfKilohertz()
    {
        AxisTicks ticks = AxisTicks.Plan(5_000, 55_000, "Hz", 500, 6, _ => 90);

        Assert.Equal("kHz", ticks.Unit);
        Assert.Equal(["10", "20", "30", "40", "50"], ticks.Ticks.Select(t => t.Label));
        Assert.Equal([10_000.0, 20_000, 30_000, 40_000, 50_000], ticks.Ticks.Select(t => t.Value));
    }

    [Fact]
    public void Plan_TenthsOfVolts_ExactDecimalsAndTrueMinus()
    {
        AxisTicks ticks = AxisTicks.Plan(-2, 1, "V", 300, 6, _ => 40);

        Assert.Equal(["−2.0", "−1.5", "−1.0", "−0.5", "0.0", "0.5", "1.0"], ticks.Ticks.Select(t => t.Label));
    }

    [Fact]
    public void Plan_NarrowSpanFarFromZero_CountsFromARoundOrigin()
    {
        AxisTicks ticks = AxisTicks.Plan(99_999_950, 100_000_050, "Hz", 500, 6, _ => 60);

        Assert.Equal("100\u00A0MHz", ticks.OriginText);
        Assert.Equal("Hz", ticks.Unit);
        Assert.Contains("−40", ticks.Ticks.Select(t => t.Label));
        Assert.Contains("+40", ticks.Ticks.Select(t => t.Label));
        Assert.Contains(100_000_040.0, ticks.Ticks.Select(t => t.Value));
    }

    [Fact]
    public void Plan_AnyRange_StepsAreOneTwoFiveInsideTheRangeAndLabelsHaveRoom() =>
        Gen.Select(Gen.Double[-1e6, 1e6], Gen.Double[1e-3, 1e6], Gen.Int[100, 4_000], Gen.Int[20, 90]).Sample((low, span, pixels, room) =>
        {
            AxisTicks axis = AxisTicks.Plan(low, low + span, "dB", pixels, 6, _ => room);
            if (axis.Ticks.Count < 2) return pixels < room * 6;
            double step = axis.Ticks[1].Value - axis.Ticks[0].Value;
            double digit = step / Math.Pow(10, Math.Floor(Math.Log10(step) + 1e-6));
            return (double[])[1, 2, 5] is var digits && digits.Any(d => Math.Abs(digit - d) < 1e-3)
                && step * pixels / span >= room * 0.999
                && axis.Ticks[0].Value >= low - (span * 1e-6) && axis.Ticks[^1].Value <= low + span + (span * 1e-6)
                && axis.Ticks.Select(t => t.Label).Distinct(StringComparer.Ordinal).Count() == axis.Ticks.Count;
        });

    [Fact]
    public void Plan_AnyRange_FineLinesShareRoundParts() =>
        Gen.Select(Gen.Double[-1_000, 1_000], Gen.Double[0.1, 1_000], Gen.Int[200, 3_000]).Sample((low, span, pixels) =>
        {
            AxisTicks axis = AxisTicks.Plan(low, low + span, "dB", pixels, 6, _ => 50);
            if (axis.Ticks.Count < 2 || axis.Fine.Count < 2) return true;
            double step = axis.Ticks[1].Value - axis.Ticks[0].Value, fine = axis.Fine.Zip(axis.Fine.Skip(1), (a, b) => b - a).Min();
            double parts = step / fine;
            return fine * pixels / span >= 5.99 && Math.Abs(parts - Math.Round(parts)) < 1e-3;
        });
}
