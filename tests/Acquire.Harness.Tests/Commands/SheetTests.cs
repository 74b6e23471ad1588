using System.Buffers.Binary;
using System.Globalization;
using System.Text.Json;
using System.Xml;
using Acquire.Harness.Shell;
using Acquire.Harness.Tests.Doubles;
using Acquire.Recordings;

namespace Acquire.Harness.Tests.Commands;

/// <summary>Every chart sheet that replay draws, as PNG and SVG.</summary>
public sealed class SheetTests : IDisposable
{
    private static readonly string[] Scales =
        ["--bits", "12", "--ramp-volts=-5.5,5.5", "--vertical-volts=0.1,-1.1", "--axis", "5kHz,55kHz", "--level", "0V=-100dB,-1V=0dB"];

    private readonly ScratchFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    [Fact]
    public void Compare_AgainstAReference_ShowsBothAndTheirDifference()
    {
        Draw("--reference", "through", "--average", "4", "--marker", "minimum", "--compare-png", Made("a.png"), "--compare-svg", Made("a.svg"));

        string[] texts = TextsOf("a.svg");
        Assert.Contains("Difference: bandstop minus through.", texts);
        Assert.Contains(texts, text => text.StartsWith("Largest: \u2212", StringComparison.Ordinal));
        Assert.Contains(texts, text => text.StartsWith("difference \u2212", StringComparison.Ordinal));
        Assert.Contains("Level in dB", texts);
        Assert.Equal((1_600, 1_000), SizeOf("a.png"));
    }

    [Fact]
    public void Compare_LinearVolts_ShowsThePlainDifference()
    {
        AcquireCommand.Run("replay", "bandstop", "--bits", "12", "--ramp-volts=-5.5,5.5", "--vertical-volts=0,1", "--law", "voltage", "--reference", "through",
            "--compare-svg", Made("a.svg")).AssertDone();

        Assert.Contains("Difference in mV", TextsOf("a.svg").Select(text => text.Replace(" V", " mV", StringComparison.Ordinal)));
    }

    // Linear volts divide: a marker reads a ratio, which is no difference, and no level.
    [Fact]
    public void Reference_OfLinearVolts_IsNamedARatio()
    {
        AcquireCommand.Run("replay", "through", "--bits", "12", "--ramp-volts=-5.5,5.5", "--vertical-volts=0,1", "--law", "voltage", "--reference", "through",
            "--marker", "peak", "--compare-svg", Made("a.svg"), "--svg", Made("b.svg")).AssertDone();

        Assert.Contains("ratio 1.00", TextsOf("a.svg"));
        Assert.Contains("Voltage against reference in ratio", TextsOf("b.svg"));
    }

    [Fact]
    public void Compare_MarkerBetweenColumns_StandsOnTheLine()
    {
        string[] command = ["replay", "bandstop", .. Scales, "--columns", "10", "--marker", "24kHz"];
        string value = JsonDocument.Parse(AcquireCommand.Run([.. command, "--json", "-"]).AssertDone().Output).RootElement
            .GetProperty("markers")[0].GetProperty("level").GetDouble().ToString("0.00", CultureInfo.InvariantCulture);

        AcquireCommand.Run([.. command, "--reference", "through", "--compare-svg", Made("a.svg")]).AssertDone();

        Assert.Contains($"{value.Replace('-', '\u2212')}\u00A0dB", TextsOf("a.svg"));
    }

    [Fact]
    public void Floor_ReadingsAtOrBelowIt_AreDrawnAsSuch()
    {
        Draw("--floor", "-60dB", "--svg", Made("a.svg"));

        Assert.Contains("At or below", TextsOf("a.svg"));
    }

    [Fact]
    public void Compare_NothingToCompareWith_IsRefused()
    {
        AcquireCommand.Run(["replay", "bandstop", .. Scales, "--compare-svg", Made("a.svg")]).AssertFailed(ExitCode.Usage, "--reference");
    }

    [Fact]
    public void History_AsPngAndSvg_HasATimeAxis()
    {
        Draw("--history-png", Made("a.png"), "--history-svg", Made("a.svg"), "--size", "480x272");

        Assert.Contains(TextsOf("a.svg"), text => text.StartsWith("Time", StringComparison.Ordinal));
        Assert.Equal((480, 272), SizeOf("a.png"));
    }

    [Fact]
    public void History_WithoutAScanRate_CountsInScans()
    {
        _folder.WriteRecording("plain", """{"global":{"core:datatype":"ru16_le","core:version":"1.0.0","core:num_channels":2},"captures":[{"core:sample_start":0}],"annotations":[]}""", 40_000);

        AcquireCommand.RunIn(_folder.Path, "replay", "plain", "--bits", "12", "--columns", "1000", "--history-svg", "a.svg").AssertDone();

        string[] texts = TextsOf("a.svg");
        Assert.Contains("Time, downwards, in scans", texts);
        Assert.DoesNotContain(texts, text => text.Contains("ks", StringComparison.Ordinal));
        // The newest sweep, cut by the end of the file, has 40,000 - 9 x 4,096 = 3,136 scans, over 1,000 columns.
        Assert.Contains("3.1 on average", texts);
    }

    [Fact]
    public void History_MarkOfTheDevice_IsWhatChanged()
    {
        string name = _folder.WriteRecording("marked", """{"global":{"core:datatype":"ru16_le","core:version":"1.0.0","core:num_channels":2,"core:sample_rate":1000,"core:extensions":[{"name":"acquire","version":"1.0.0","optional":true}]},"captures":[{"core:sample_start":0}],"annotations":[{"core:sample_start":20000,"core:sample_count":1,"acquire:mark":7}]}""", 40_000);

        AcquireCommand.RunIn(_folder.Path, "replay", name, "--bits", "12", "--history-svg", "a.svg").AssertDone();

        Assert.Contains("mark 7", TextsOf("a.svg"));
        Assert.DoesNotContain("another axis", TextsOf("a.svg"));
    }

    // What a person set is filed digit for digit: with six digits both ends of this axis would be 10 GHz.
    [Fact]
    public void Settings_OfANarrowSpan_AreFiledDigitForDigit()
    {
        AcquireCommand.Run("replay", "bandstop", "--bits", "12", "--axis", "9.999999GHz,10.000001GHz", "--svg", Made("a.svg")).AssertDone();

        Assert.Contains("9.999999 GHz to 10.000001 GHz", TextsOf("a.svg"));
    }

    [Fact]
    public void Law_OfCodesThatNobodyGaveAScale_IsNotStated()
    {
        AcquireCommand.Run("replay", "bandstop", "--bits", "12", "--svg", Made("codes.svg")).AssertDone();
        Draw("--svg", Made("levels.svg"));

        Assert.DoesNotContain("logarithmic", TextsOf("codes.svg"));
        Assert.Contains("logarithmic", TextsOf("levels.svg"));
    }

    // The last sweep of the recording is cut by its end after 0.14 s; the generator's sweeps last 0.4 s.
    [Theory]
    [InlineData("--history-svg", "last")]
    [InlineData("--svg", "4")]
    public void SweepTime_OfASweepThatWasCut_IsNotStated(string option, string sweep)
    {
        Draw(option, Made("a.svg"), "--sweep", sweep);

        string[] texts = TextsOf("a.svg");
        Assert.Equal("not stated", texts[Array.IndexOf(texts, "Sweep time, measured") + 1]);
    }

    [Theory]
    [InlineData("swept", "learnt")]
    [InlineData("manual", "the converter's range")]
    [InlineData("time", null)]
    public void Edges_NotGiven_AreLearntOfARampThatRunsOnly(string mode, string? edges)
    {
        AcquireCommand.Run("replay", "bandstop", "--bits", "12", "--mode", mode, "--sweep", "0", "--svg", Made("a.svg"));

        string[] texts = TextsOf("a.svg");
        Assert.Equal(edges is not null, texts.Contains("Edges"));
        if (edges is not null) Assert.Contains(edges, texts);
    }

    [Fact]
    public void Partial_AsPngAndSvg_SaysWhereTheFrontIs()
    {
        Draw("--partial-at", "120000", "--png", Made("a.png"), "--svg", Made("a.svg"), "--sheet", "dark");

        Assert.Contains(TextsOf("a.svg"), text => text.Contains("front", StringComparison.Ordinal));
        Assert.Equal((1_600, 1_000), SizeOf("a.png"));
    }

    // Numbers of 64 bits have some 16 digits.
    [Fact]
    public void Axis_ColumnsThatNoNumberTellsApart_IsRefusedByName() =>
        AcquireCommand.Run(["replay", "bandstop", .. Scales[..3], "--axis", "100GHz,100.000000000001GHz", "--png", Made("a.png")])
            .AssertFailed(ExitCode.Usage, "--axis: from 100000000000 to 100000000000.001 Hz there are not ");

    [Fact]
    public void Partial_WithFloor_DrawsWhatIsAtOrBelowIt()
    {
        Draw("--partial-at", "120000", "--svg", Made("a.svg"));
        Draw("--partial-at", "120000", "--floor", "-60dB", "--svg", Made("b.svg"));

        Assert.DoesNotContain("At or below", TextsOf("a.svg"));
        Assert.Contains("At or below", TextsOf("b.svg"));
        Assert.Contains("untrusted", TextsOf("b.svg"));
    }

    [Fact]
    public void Partial_BetweenTwoSweeps_IsOfTheLastOneInFullInk()
    {
        AcquireCommand.RunIn(_folder.Path, "synth", "bandstop", "sweeps=6", "--out", "six").AssertDone();
        using JsonDocument truth = JsonDocument.Parse(File.ReadAllBytes(Path.Combine(_folder.Path, "six.truth.json")));
        long end = truth.RootElement.GetProperty("sweeps")[4].GetProperty("endScan").GetInt64();

        AcquireCommand.RunIn(_folder.Path, "replay", "six", "--partial-at", $"{end + 800}", "--svg", "a.svg").AssertDone();

        string[] texts = TextsOf("a.svg");
        Assert.Contains(texts, text => text.StartsWith("last sweep", StringComparison.Ordinal));
        Assert.DoesNotContain(texts, text => text.Contains("unfilled", StringComparison.Ordinal) || text.StartsWith("older", StringComparison.Ordinal));
    }

    // On its way back an instrument that draws both ways has its front behind the columns that are still older.
    [Fact]
    public void Partial_OnTheWayBack_SaysWhichWayTheFrontMoves()
    {
        AcquireCommand.RunIn(_folder.Path, "synth", "both-ways", "--out", "both").AssertDone();
        using JsonDocument truth = JsonDocument.Parse(File.ReadAllBytes(Path.Combine(_folder.Path, "both.truth.json")));
        JsonElement back = truth.RootElement.GetProperty("sweeps").EnumerateArray()
            .Last(sweep => sweep.GetProperty("complete").GetBoolean() && string.Equals(sweep.GetProperty("direction").GetString(), "falling", StringComparison.Ordinal));
        long middle = (back.GetProperty("startScan").GetInt64() + back.GetProperty("endScan").GetInt64()) / 2;

        AcquireCommand.RunIn(_folder.Path, "replay", "both", "--partial-at", $"{middle}", "--svg", "a.svg").AssertDone();

        string front = Assert.Single(TextsOf("a.svg"), text => text.StartsWith("Partial: the front is at column ", StringComparison.Ordinal));
        Assert.EndsWith("moves towards the first.", front, StringComparison.Ordinal);
    }

    [Fact]
    public void Sheet_DarkAndLight_DifferInTheirGround()
    {
        Draw("--svg", Made("light.svg"));
        Draw("--svg", Made("dark.svg"), "--sheet", "dark");

        Assert.True(GroundOf("light.svg") > 200, "light ground");
        Assert.True(GroundOf("dark.svg") < 60, "dark ground");
    }

    [Fact]
    public void Size_OfPaper_WritesItsResolution()
    {
        Draw("--png", Made("a.png"), "--size", "a3");

        Assert.Equal((4_961, 3_508), SizeOf("a.png"));
    }

    [Theory]
    [InlineData("--size", "479x272")]
    [InlineData("--size", "1600")]
    [InlineData("--size", "99999x1000")]
    [InlineData("--sheet", "grey")]
    [InlineData("--vertical", "0")]
    [InlineData("--channels", "1")]
    [InlineData("--channels", "1,1")]
    public void Sheet_ValueThatCannotBe_NamesTheOption(string option, string value)
    {
        AcquireCommand.Run(["replay", "bandstop", .. Scales, "--svg", Made("a.svg"), option, value]).AssertFailed(ExitCode.Usage, option);
    }

    [Fact]
    public void Svg_TextsOfTheRecordingWithControls_AreWrittenOut()
    {
        _folder.WriteRecording("rude", """{"global":{"core:datatype":"ru16_le","core:version":"1.0.0","core:num_channels":2,"core:sample_rate":1000,"core:description":"a\u001b[31mb\u202ec"},"captures":[{"core:sample_start":0}],"annotations":[]}""", 20_000);

        AcquireCommand.RunIn(_folder.Path, "replay", "rude", "--svg", "a.svg").AssertDone();

        Assert.Contains("""a\u001b[31mb\u202ec""", TextsOf("a.svg"));
    }

    [Fact]
    public void Vertical_OfTwo_IsMeasuredAndNamed()
    {
        // Both verticals carry the same channel's scans, once as they are and once with the ramp's in their place.
        WriteThreeChannels("three");

        JsonElement second = Measure("three", "--vertical-channel", "1,2", "--vertical", "2", "--svg", "a.svg");
        JsonElement alone = Measure("three", "--vertical-channel", "2");

        Assert.Equal(2, second.GetProperty("vertical").GetInt32());
        Assert.Equal(alone.GetProperty("trace").GetRawText(), second.GetProperty("trace").GetRawText());
        Assert.NotEqual(Measure("three").GetProperty("trace").GetRawText(), second.GetProperty("trace").GetRawText());
        Assert.Contains("channel 2", TextsOf("a.svg"));
    }

    [Fact]
    public void Channels_Picked_AreReadInThatOrder()
    {
        WriteThreeChannels("three");

        JsonElement picked = Measure("three", "--channels", "0,2");

        Assert.Equal(Measure("three", "--vertical-channel", "2").GetProperty("trace").GetRawText(), picked.GetProperty("trace").GetRawText());
    }

    [Fact]
    public void Channels_PickedOfMoreThanAnEngineTakes_AreRead()
    {
        WriteChannels("ten", 10, (scan, channel) => (ushort)(channel == 9 ? scan % 1_000 * 4 : channel == 4 ? 1_000 + (scan % 1_000) : 7));

        AcquireCommand.RunIn(_folder.Path, "replay", "ten", "--json").AssertFailed(ExitCode.Usage, "--channels");
        JsonElement picked = Measure("ten", "--channels", "9,4", "--columns", "10");

        double[] level = [.. picked.GetProperty("trace").GetProperty("level").EnumerateArray().Select(value => value.GetDouble())];
        Assert.Equal(10, level.Length);
        Assert.All(level.Index(), column => Assert.Equal(1_050 + (100 * column.Index), column.Item, 5.0));
    }

    private void Draw(params string[] more) => AcquireCommand.Run(["replay", "bandstop", .. Scales, .. more]).AssertDone();

    private string Made(string name) => Path.Combine(_folder.Path, name);

    private JsonElement Measure(string recording, params string[] more) =>
        JsonDocument.Parse(AcquireCommand.RunIn(_folder.Path, ["replay", recording, "--json", "-", .. more]).AssertDone().Output).RootElement;

    private void WriteThreeChannels(string name)
    {
        using RecordingReader reader = RecordingReader.Open(Path.Combine(AcquireCommand.Data, "bandstop"));
        ushort[] two = new ushort[2 * reader.ScanCount];
        int read = 0;
        while (reader.Read(two.AsSpan(read)) is { Kind: RecordingReadKind.Scans } part && (read += 2 * part.Scans) < two.Length)
        {
        }

        WriteChannels(name, 3, (scan, channel) => channel < 2 ? two[(2 * scan) + channel] : (ushort)(4_095 - two[(2 * scan) + 1]), two.Length / 2);
    }

    private void WriteChannels(string name, int channels, Func<int, int, ushort> code, int scans = 20_000)
    {
        using RecordingWriter writer = new(Made(name), new RecordingWriterOptions { ChannelCount = channels, Bits = 12, ScanRateHz = 100_000 });
        ushort[] codes = new ushort[channels * scans];
        for (int i = 0; i < codes.Length; i++) codes[i] = code(i / channels, i % channels);
        writer.Write(codes);
        writer.Complete();
    }

    private string[] TextsOf(string svg)
    {
        XmlDocument document = new();
        document.Load(Made(svg));
        return [.. document.GetElementsByTagName("title").Cast<XmlNode>().Select(title => title.InnerText)];
    }

    // Red of the first rectangle, which is the paper.
    private int GroundOf(string svg)
    {
        XmlDocument document = new();
        document.Load(Made(svg));
        return Convert.ToInt32(document.GetElementsByTagName("path")[0]!.Attributes!["fill"]!.Value[1..3], 16);
    }

    // Portable Network Graphics, 11.2.2: width and height stand big-endian at byte 16.
    private (int Width, int Height) SizeOf(string png)
    {
        byte[] bytes = File.ReadAllBytes(Made(png));
        return (BinaryPrimitives.ReadInt32BigEndian(bytes.AsSpan(16)), BinaryPrimitives.ReadInt32BigEndian(bytes.AsSpan(20)));
    }
}
