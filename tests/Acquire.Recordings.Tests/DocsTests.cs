using System.Reflection;
using System.Text.RegularExpressions;
using Acquire.Recordings.Tests.Doubles;
using Acquire.Scales;

namespace Acquire.Recordings.Tests;

/// <summary>What the documents show must work as shown.</summary>
public sealed class DocsTests
{
    private static string Text(string name) => File.ReadAllText(Path.Combine(AppContext.BaseDirectory, "docs", name));

    private static string Example(string name) =>
        Regex.Match(Text(name), "```json\n(.*?)```", RegexOptions.Singleline, TimeSpan.FromSeconds(1)).Groups[1].Value;

    [Fact]
    public void SetupFile_Example_Loads()
    {
        using var folder = new TempFolder();
        File.WriteAllText(folder.File("a.setup.json"), Example("setup-file.md"));

        SetupDocument document = SetupFile.LoadDocument(folder.File("a.setup.json"));

        Assert.Equal(["sweep.direction"], document.Guessed);
        Assert.Equal(0.0008, document.Setup.Columns.VideoDelaySeconds);
        Assert.Equal(300, document.Setup.Settings.ResolutionBandwidthHz);
    }

    [Fact]
    public void SetupFile_EveryMember_IsInTheTable()
    {
        string text = Text("setup-file.md");

        Type[] records = [typeof(Setup), typeof(Capture.ScanFormat), typeof(Scales.VerticalScale), typeof(Sweeps.SweepOptions),
            typeof(Sweeps.BlankingOptions), typeof(Columns.ColumnOptions), typeof(Traces.TraceOptions), typeof(InstrumentSettings)];
        foreach (PropertyInfo property in records.SelectMany(r => r.GetProperties(BindingFlags.Public | BindingFlags.Instance)).Where(p => p.CanWrite))
            Assert.Matches($@"\b{char.ToLowerInvariant(property.Name[0])}{property.Name[1..]}\b", text);
    }

    [Fact]
    public void Extension_Example_ReadsAsDescribed()
    {
        using var folder = new TempFolder();
        string name = Foreign.Write(folder, "ru16_le", new byte[16]);
        Foreign.WriteMetadata(name, Example("acquire.sigmf-ext.md"));

        using RecordingReader reader = RecordingReader.Open(name);

        Assert.Equal("2:500:Overrun 3:?:Reset", Foreign.ReadAll(reader).Joints);
        Assert.Equal(12, reader.Bits);
        Assert.Empty(reader.Notes);
    }
}
