using System.Text;
using System.Text.Json;
using Acquire.Capture;
using Acquire.Columns;
using Acquire.Harness.Output;
using Acquire.Harness.Runs;
using Acquire.Harness.Tests.Doubles;
using Acquire.Scales;

namespace Acquire.Harness.Tests.Output;

public class SweepLineWriterTests
{
    // Two columns: the first has codes 10, 20, 40, the second none.
    private static readonly Setup TwoColumns = new() { Columns = new ColumnOptions { ColumnCount = 2 } };

    [Fact]
    public void Write_NoScale_GivesCodesAndNullWhereUnfilled()
    {
        JsonElement line = Assert.Single(Lines(TwoColumns, null, new FakeSweep(TwoColumns, 0).Put(0, 0, 10, 20, 40)));

        Assert.Equal("code", line.GetProperty("unit").GetString());
        Assert.Equal("[3,0]", line.GetProperty("count").GetRawText());
        Assert.Equal("[40,null]", line.GetProperty("peak").GetRawText());
        Assert.Equal("[10,null]", line.GetProperty("minimum").GetRawText());
        Assert.Equal("[40,null]", line.GetProperty("sample").GetRawText());
        Assert.Equal((70.0 / 3).ToString("R"), line.GetProperty("average")[0].GetRawText());
        Assert.Equal(2, line.GetProperty("columns").GetInt32());
        Assert.False(line.TryGetProperty("vertical", out _));
    }

    [Fact]
    public void Write_SignalUpIsFallingCodes_PeakIsTheLowestCode()
    {
        Setup setup = TwoColumns with { Verticals = [new VerticalScale { Up = SignalUp.CodesFall }] };

        JsonElement line = Assert.Single(Lines(setup, null, new FakeSweep(setup, 0).Put(0, 0, 10, 20, 40)));

        Assert.Equal("[10,null]", line.GetProperty("peak").GetRawText());
        Assert.Equal("[40,null]", line.GetProperty("minimum").GetRawText());
    }

    [Fact]
    public void Write_Volts_AreTheScalesVolts()
    {
        Setup setup = TwoColumns with { Verticals = [new VerticalScale { Volts = new CodeVolts(0, 4.095m) }] };

        JsonElement line = Assert.Single(Lines(setup, null, new FakeSweep(setup, 0).Put(0, 0, 10, 20, 40)));

        Assert.Equal("V", line.GetProperty("unit").GetString());
        Assert.Equal(0.04, line.GetProperty("peak")[0].GetDouble(), 1e-12);
    }

    // 20 log10(0) has no value: 0 V is no input, and minus infinity is no JSON (RFC 8259, section 6).
    [Fact]
    public void Write_CodesWithoutInputOnALinearScale_AreNull()
    {
        Setup setup = TwoColumns with { Verticals = [new VerticalScale { Volts = new CodeVolts(0, 4.095m), Law = VerticalLaw.Voltage, Level = [new(4.095m, 0)] }] };

        JsonElement line = Assert.Single(Lines(setup, null, new FakeSweep(setup, 0).Put(0, 0, 4_095, 0).Put(0, 1, 0)));

        Assert.Equal(0, line.GetProperty("peak")[0].GetDouble(), 1e-9);
        Assert.Equal("[null,null]", line.GetProperty("minimum").GetRawText());
        Assert.Equal("[null,null]", line.GetProperty("sample").GetRawText());
        Assert.Equal(JsonValueKind.Null, line.GetProperty("average")[1].ValueKind);
    }

    [Fact]
    public void Write_TwoVerticals_AreTwoLinesThatNameTheirChannels()
    {
        Setup setup = TwoColumns with { Scan = new ScanFormat { Roles = [ChannelRole.Ramp, ChannelRole.Auxiliary, ChannelRole.Vertical, ChannelRole.Vertical] } };

        JsonElement[] lines = Lines(setup, null, new FakeSweep(setup, 4).Put(0, 0, 10).Put(1, 1, 20));

        Assert.Equal([2, 3], lines.Select(line => line.GetProperty("vertical").GetInt32()));
        Assert.Equal([4, 4], lines.Select(line => line.GetProperty("number").GetInt32()));
        Assert.Equal("[10,null]", lines[0].GetProperty("peak").GetRawText());
        Assert.Equal("[null,20]", lines[1].GetProperty("peak").GetRawText());
    }

    [Fact]
    public void WithDomains_LevelOfALogarithmicVertical_AsksForThePowerThatRmsNeeds()
    {
        Setup setup = TwoColumns with
        {
            Verticals = [new VerticalScale { Volts = new CodeVolts(0, 1), Level = [new LevelPoint(0, -80), new LevelPoint(1, 0)] }],
        };

        Assert.Equal([AveragingDomain.Power], VerticalReading.WithDomains(setup, null, [Detector.Average, Detector.Rms], null).Columns.Domains);
        Assert.Empty(VerticalReading.WithDomains(setup, ValueUnit.Volts, [Detector.Average, Detector.Rms], null).Columns.Domains);
        Assert.Equal([AveragingDomain.Voltage],
            VerticalReading.WithDomains(setup, null, [Detector.Average], AveragingDomain.Voltage).Columns.Domains);
    }

    [Fact]
    public void Write_AverageOfADomainBesideAVerticalWithoutLevels_IsTheMeanOfItsCodesThere()
    {
        Setup setup = TwoColumns with
        {
            Scan = new ScanFormat { Roles = [ChannelRole.Ramp, ChannelRole.Vertical, ChannelRole.Vertical] },
            Verticals = [new VerticalScale { Volts = new CodeVolts(0, 1), Level = [new LevelPoint(0, -20), new LevelPoint(1, 0)] }],
            Columns = TwoColumns.Columns with { Domains = [AveragingDomain.Power] },
        };
        using MemoryStream stream = new();
        using SweepLineWriter writer = new(stream, setup, VerticalReading.Of(setup, null, AveragingDomain.Power));

        writer.Write(new FakeSweep(setup, 0).Put(0, 0, 0, 4_095).Put(1, 0, 10, 20).View());

        string[] lines = Encoding.UTF8.GetString(stream.ToArray()).TrimEnd('\n').Split('\n');
        JsonElement[] averages = [.. lines.Select(line => JsonDocument.Parse(line).RootElement.GetProperty("average")[0])];
        Assert.Equal(10 * Math.Log10((0.01 + 1) / 2), averages[0].GetDouble(), 1e-6); // of -20 dB and 0 dB
        Assert.Equal(15, averages[1].GetDouble());
    }

    private static JsonElement[] Lines(Setup setup, ValueUnit? unit, params FakeSweep[] sweeps)
    {
        using MemoryStream stream = new();
        using SweepLineWriter writer = new(stream, setup, VerticalReading.Of(setup, unit));
        foreach (FakeSweep sweep in sweeps) writer.Write(sweep.View());
        string text = Encoding.UTF8.GetString(stream.ToArray());
        Assert.EndsWith("\n", text, StringComparison.Ordinal);
        return [.. text.TrimEnd('\n').Split('\n').Select(line => JsonDocument.Parse(line).RootElement)];
    }
}
