using System.CommandLine;
using Acquire.Harness.Capturing;
using Acquire.Harness.Options;
using Acquire.Harness.Shell;
using Acquire.Recordings;

namespace Acquire.Harness.Inspect;

/// <summary>What <c>inspect</c> does with a live source: listens for a while, and looks at what came as at a recording.</summary>
internal static class LiveInspectRun
{
    private static readonly string[] Kinds = ["serial:", "tcp:", "stdin:", "file:", "synth:"];

    /// <summary>Whether a text names a source and no recording.</summary>
    public static bool IsSource(string text) => Kinds.Any(kind => text.StartsWith(kind, StringComparison.Ordinal));

    /// <summary>Listens, looks and writes.</summary>
    /// <param name="parsed">The command line.</param>
    /// <param name="source">The source.</param>
    /// <param name="seconds">How long to listen.</param>
    /// <param name="wanted">Outputs.</param>
    /// <param name="allSweeps">Whether every sweep is listed in the JSON.</param>
    /// <param name="setupOptions">Options that override the setup.</param>
    /// <param name="cancel">Stops it.</param>
    public static int Run(
        ParseResult parsed, string source, double seconds, (string Option, string Path)[] wanted, bool allSweeps, SetupOptions setupOptions, CancellationToken cancel)
    {
        string? setupPath = setupOptions.SetupPath(parsed);
        Setup? file = setupPath is null ? null : SetupFile.Load(setupPath);
        DirectoryInfo folder = Directory.CreateTempSubdirectory("acquire-");
        try
        {
            CaptureChoices choices = new() { Source = source, Name = Path.Combine(folder.FullName, "heard"), For = TimeSpan.FromSeconds(Math.Min(seconds, 86_400)) };
            CaptureProgress progress = new(parsed.InvocationConfiguration.Error, !Console.IsErrorRedirected, folder.FullName);
            CaptureResult heard = new CaptureRun(choices, file, description => CaptureCommand.SetupFor(parsed, setupOptions, file, description)).Go(progress.Look, cancel);
            progress.Done();
            cancel.ThrowIfCancellationRequested();
            if (heard.Scans == 0) throw heard.Failure ?? CommandFailure.Unreadable(source, "no scan came");
            return InspectCommand.Run(parsed, heard.Recordings[0].Name, wanted, allSweeps, setupOptions, cancel,
                VisibleText.Of(source, VisibleText.LongestWords), saidBySomebody: file is not null || heard.Description.Device.Length > 0, Notes(heard));
        }
        finally
        {
            folder.Delete(recursive: true);
        }
    }

    private static List<string> Notes(CaptureResult heard)
    {
        List<string> notes = [];
        if (heard.Description.Device.Length > 0) notes.Add($"The device calls itself: {VisibleText.Of(heard.Description.Device, VisibleText.LongestWords)}");
        if (heard.LastText is { } text) notes.Add($"Its last words: {VisibleText.Of(text, VisibleText.LongestWords)}");
        if (heard.Recordings.Count > 1) notes.Add("The source changed its channels, bits, rate or volts while it was listened to; only what came before is looked at.");
        if (heard.Failure is { } failure) notes.Add($"The listening ended early: {failure.Message}");
        return notes;
    }
}
