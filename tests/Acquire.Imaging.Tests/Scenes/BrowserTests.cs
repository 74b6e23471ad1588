using System.Diagnostics;
using Acquire.Imaging.Scenes;
using Acquire.Imaging.Tests.Doubles;

namespace Acquire.Imaging.Tests.Scenes;

public class BrowserTests
{
    // Two antialiasers differ at the edges of lines only: on average by less than one of 255 steps (0.15 to 0.35 were measured), and hardly a pixel by
    // half of full ink (none was).
    private const double MostMeanDifference = 1.0;
    private const double MostFarPixels = 0.001;
    private const int Far = 128;

    [Theory]
    [InlineData("trace", 1000, 640, false)]
    [InlineData("history", 1000, 640, false)]
    [InlineData("comparison", 1000, 640, true)]
    [InlineData("partial", 800, 480, true)]
    [InlineData("trace", 480, 272, false)]
    public void WriteSvg_DrawnByABrowser_LooksLikeThePng(string chart, int width, int height, bool dark)
    {
        string? browser = Tools.Find("chromium", "chromium-browser", "google-chrome");
        if (browser is null) Assert.Skip("No chromium on the search path; install it to compare SVG with PNG.");
        Scene scene = ChartSheet.Render(SampleSheets.Sheet(SampleSheets.Chart(chart)), new SheetSize(width, height), dark ? SheetStyle.Dark : SheetStyle.LightPaper);
        Picture ours = Picture.Of(scene);

        Picture theirs = Screenshot(browser, scene);

        Assert.Equal((ours.Width, ours.Height), (theirs.Width, theirs.Height));
        long sum = 0;
        int far = 0;
        for (int y = 0; y < ours.Height; y++)
        {
            for (int x = 0; x < ours.Width; x++)
            {
                int difference = Math.Abs(ours.At(x, y).Red - theirs.At(x, y).Red);
                sum += difference;
                if (difference > Far) far++;
            }
        }

        double mean = sum / (double)(ours.Width * ours.Height), share = far / (double)(ours.Width * ours.Height);
        TestContext.Current.SendDiagnosticMessage($"{chart}: mean difference {mean:F3} of 255, {share:P3} of pixels differ by more than {Far}");
        Assert.True(mean <= MostMeanDifference, $"mean difference is {mean:F3}");
        Assert.True(share <= MostFarPixels, $"{share:P3} of the pixels differ by more than {Far}");
    }

    private static Picture Screenshot(string browser, Scene scene)
    {
        string folder = Directory.CreateTempSubdirectory("sheet-").FullName;
        try
        {
            string svg = Path.Combine(folder, "sheet.svg"), png = Path.Combine(folder, "sheet.png");
            using (FileStream file = File.Create(svg)) scene.WriteSvg(file);
            string[] arguments =
            [
                "--headless", "--no-sandbox", "--disable-gpu", "--hide-scrollbars", "--force-device-scale-factor=1", $"--user-data-dir={Path.Combine(folder, "profile")}",
                $"--window-size={scene.Width},{scene.Height}", $"--screenshot={png}", new Uri(svg).AbsoluteUri,
            ];
            using var process = Process.Start(new ProcessStartInfo(browser, arguments) { RedirectStandardError = true, RedirectStandardOutput = true })!;
            // Both pipes are drained, or a talkative browser would stop at a full one.
            Task<string> output = process.StandardOutput.ReadToEndAsync(), errors = process.StandardError.ReadToEndAsync();
            if (!process.WaitForExit(TimeSpan.FromSeconds(60)))
            {
                process.Kill(entireProcessTree: true);
                Assert.Skip("The browser did not answer within a minute; it may not run in this environment.");
            }

            if (!File.Exists(png)) Assert.Skip($"The browser made no picture; it may not run in this environment: {errors.Result}{output.Result}");
            return Picture.Decode(File.ReadAllBytes(png));
        }
        finally
        {
            Directory.Delete(folder, recursive: true);
        }
    }
}
