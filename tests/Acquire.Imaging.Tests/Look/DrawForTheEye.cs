using System.Diagnostics;
using Acquire.Imaging.Lettering;
using Acquire.Imaging.Scenes;
using Acquire.Imaging.Tests.Doubles;
using Acquire.Painting;

namespace Acquire.Imaging.Tests.Look;

/// <summary>Writes sheets to look at into the folder named by ACQUIRE_LOOK; checks nothing, so it is skipped without it.</summary>
public class DrawForTheEye
{
    private static readonly string? s_folder = Environment.GetEnvironmentVariable("ACQUIRE_LOOK");

    [Fact]
    public void Sheets()
    {
        if (string.IsNullOrEmpty(s_folder)) Assert.Skip("ACQUIRE_LOOK names no folder; set it to look at the sheets.");
        (string Name, SheetSize Size, SheetStyle Style)[] kinds =
        [
            ("page", SheetSize.Page, SheetStyle.LightPaper), ("dark", new SheetSize(1280, 800), SheetStyle.Dark), ("panel", SheetSize.SmallPanel, SheetStyle.LightPaper),
            ("small-dark", new SheetSize(800, 480), SheetStyle.Dark), ("a3", SheetSize.A3At300Dpi, SheetStyle.LightPaper), ("tall", new SheetSize(900, 1270), SheetStyle.LightPaper),
        ];
        foreach (string chart in SampleSheets.ChartNames)
        {
            foreach ((string name, SheetSize size, SheetStyle style) in kinds)
            {
                foreach (string labels in (string[])["usual", "long", "many"])
                {
                    long start = Stopwatch.GetTimestamp();
                    Scene scene = ChartSheet.Render(SampleSheets.Vary(SampleSheets.Chart(chart), labels), size, style);
                    using (FileStream file = File.Create(Path.Combine(s_folder, $"{chart}-{name}-{labels}.png"))) scene.WritePng(file);
                    TestContext.Current.SendDiagnosticMessage($"{chart} {name} {labels}: {Stopwatch.GetElapsedTime(start).TotalMilliseconds:F0} ms");
                    if (labels is not "usual") continue;
                    using FileStream svg = File.Create(Path.Combine(s_folder, $"{chart}-{name}.svg"));
                    scene.WriteSvg(svg);
                }
            }
        }
    }

    [Fact]
    public void Specimen()
    {
        if (string.IsNullOrEmpty(s_folder)) Assert.Skip("ACQUIRE_LOOK names no folder; set it to look at the letters.");
        string all = string.Concat(GlyphTable.Characters.Where(r => r.Value is > 32 and not (0xA0 or 0x2007 or 0x2009 or 0x202F)).Select(r => r.ToString()));
        List<string> lines = [.. all.Chunk(34).Select(c => new string(c))];
        lines.AddRange(["Centre 24.987 kHz  Span 50 MHz  −85.12 dBm", "The quick brown fox jumps over the lazy dog 0123456789", "Größe λ/4 · Δf = 10²·µV — “éà ñ ç å” ✓中 x₀ = 10⁻³ V/√Hz"]);
        var elements = new List<SceneElement>();
        double baseline = 70;
        foreach (string line in lines)
        {
            elements.Add(Letterer.Lay(line, 40).At(40, baseline, new Colour(20, 30, 50)));
            baseline += 84;
        }

        var scene = new Scene(1500, baseline, null, "Letters", "Every drawn character.", SheetStyle.LightPaper.Paper, elements);
        using FileStream file = File.Create(Path.Combine(s_folder, "specimen.png"));
        scene.WritePng(file);
    }
}
