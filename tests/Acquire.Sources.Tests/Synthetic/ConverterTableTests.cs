using Acquire.Capture;
using Acquire.Sources.Synthetic;

namespace Acquire.Sources.Tests.Synthetic;

/// <summary>The converter's faults, in the terms of IEEE Std 1241 (from memory): transition levels, bin widths, missing codes.</summary>
public sealed class ConverterTableTests
{
    [Fact]
    public void Convert_Ideal_RoundsHalfUpAndHoldsAtTheRails()
    {
        ConverterTable converter = new(new() { Bits = 3 });

        Assert.Equal([0, 0, 1, 1, 2, 7, 7, 7], new[] { -5, 0.49, 0.5, 1.49, 1.5, 6.5, 7.5, 100 }.Select(x => (int)converter.Convert(x)));
    }

    [Fact]
    public void Convert_WidthSpread_HasTheDifferentialNonlinearityAskedFor()
    {
        double[] widths = WidthsOf(new() { Bits = 10, Converter = new() { WidthSpreadCodes = 0.2 } });

        Assert.Equal(0.2, Math.Sqrt(widths[1..^1].Average(w => (w - 1) * (w - 1))), 0.03);
        Assert.Equal(1, widths[1..^1].Average(), 1e-2);
    }

    [Fact]
    public void Convert_Bend_MovesTransitionsByNoMoreThanItsCodes()
    {
        ConverterTable converter = new(new() { Bits = 12, Converter = new() { BendCodes = 8 } });

        double most = Enumerable.Range(0, 4_096).Max(k => Math.Abs(converter.Convert(k) - k));
        Assert.InRange(most, 4, 13);
    }

    [Fact]
    public void Convert_MissingCodes_NeverAppear()
    {
        double[] widths = WidthsOf(new() { Bits = 8, Converter = new() { MissingCodes = 12 } });

        Assert.Equal(12, widths.Count(w => w == 0));
    }

    [Fact]
    public void Convert_AnyFault_IsMonotonic()
    {
        ConverterTable converter = new(new() { Bits = 10, Converter = new() { WidthSpreadCodes = 1, BendCodes = 10, MissingCodes = 30 } });

        int before = 0;
        for (double level = 0; level < 1_024; level += 0.05)
        {
            int code = converter.Convert(level);
            Assert.True(code >= before);
            before = code;
        }
    }

    [Fact]
    public void Convert_ZeroBitsGainOffsetClamp_DoWhatTheySay()
    {
        Assert.Equal(0b1010_0000, new ConverterTable(new() { Bits = 8, Converter = new() { ZeroBits = 4 } }).Convert(0b1010_1111));
        Assert.Equal(105, new ConverterTable(new() { Bits = 8, Converter = new() { Gain = 2, OffsetCodes = 5 } }).Convert(50));
        Assert.Equal(204, new ConverterTable(new() { Bits = 8, Converter = new() { ClampHigh = 0.8 } }).Convert(250));
        Assert.Equal(51, new ConverterTable(new() { Bits = 8, Converter = new() { ClampLow = 0.2 } }).Convert(3));
    }

    [Fact]
    public void Blanking_PolarityAndLead_AreKept()
    {
        SyntheticOptions options = new()
        {
            Roles = [ChannelRole.Ramp, ChannelRole.Vertical, ChannelRole.Blanking],
            Sweep = new() { SweepScans = 100, RetraceScans = 20, RestScans = 30 },
            Blanking = new() { HighIsBlanked = false, LeadScans = 5 },
            Sweeps = 4,
        };
        BenchRun run = BenchRun.ToEnd(options);

        for (int k = 0; k < run.ScanCount - 5; k++)
            Assert.Equal(run.Truth[k + 5].BeamOff, run.Word(k, 2) < 2_000);
    }

    private static double[] WidthsOf(SyntheticOptions options)
    {
        const int parts = 200;
        ConverterTable converter = new(options);
        double[] widths = new double[1 << options.Bits];
        for (int i = 0; i < widths.Length * parts; i++) widths[converter.Convert((double)i / parts)] += 1.0 / parts;
        return widths;
    }
}
