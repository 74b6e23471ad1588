using System.CommandLine;
using Acquire.Harness.Inspect.Findings;
using Acquire.Harness.Options;
using Acquire.Harness.Output;
using Acquire.Harness.Runs;
using Acquire.Harness.Shell;
using Acquire.Recordings;

namespace Acquire.Harness.Inspect;

/// <summary>The verb <c>inspect</c>: why framing works or does not.</summary>
internal static class InspectCommand
{
    /// <summary>Builds the verb.</summary>
    public static Command Create()
    {
        Command command = new("inspect", "Look at a recording and say why framing works or does not: channels, ramp, sweeps, gaps, findings with their cures.");
        Argument<string> recording = new("RECORDING")
        {
            Description = "NAME, NAME.sigmf-meta, NAME.sigmf-data or NAME.wav; or a file of link bytes; or a live SOURCE such as serial:PORT.",
        };
        Option<string?> json = new("--json") { HelpName = "FILE", Description = "Everything as JSON; - or no file is standard output.", Arity = ArgumentArity.ZeroOrOne };
        Option<string?> sweeps = new("--sweeps") { HelpName = "all", Description = $"List every sweep in the JSON; default the first {Inspection.MostListed:N0}." };
        Option<string?> writeSetup = new("--write-setup") { HelpName = "FILE", Description = "The setup that the recording suggests, each guess marked." };
        Option<string?> frames = new("--frames") { HelpName = "all", Description = $"Of link bytes: list every frame and every fault; default the first {Link.LinkTables.FramesShown}." };
        Option<string?> time = new("--for") { HelpName = "TIME", Description = "Of a live source: listen for so long; default 10s." };
        SetupOptions setupOptions = new();
        command.Arguments.Add(recording);
        command.Options.Add(json);
        command.Options.Add(sweeps);
        command.Options.Add(writeSetup);
        command.Options.Add(frames);
        command.Options.Add(time);
        setupOptions.AddTo(command);
        command.Runs((parsed, cancel) =>
        {
            if (parsed.GetValue(sweeps) is { } asked && asked is not "all")
                throw CommandFailure.Usage("--sweeps", $"'{asked}' is not known; give all, or leave it away for the first {Inspection.MostListed:N0}");
            if (parsed.GetValue(frames) is { } frameChoice && frameChoice is not "all")
                throw CommandFailure.Usage("--frames", $"'{frameChoice}' is not known; give all, or leave it away for the first {Link.LinkTables.FramesShown}");
            (string Option, string Path)[] outputs =
            [
                .. parsed.GetResult(json) is not null ? [("--json", parsed.GetValue(json) ?? OutputFile.Standard)] : Array.Empty<(string, string)>(),
                .. parsed.GetValue(writeSetup) is { } setup ? [("--write-setup", setup)] : Array.Empty<(string, string)>(),
            ];
            string path = parsed.GetValue(recording)!;
            bool allSweeps = parsed.GetValue(sweeps) is not null;
            if (Link.LinkFile.Is(path))
                return Link.LinkInspectRun.Run(parsed, path, outputs, allSweeps, parsed.GetValue(frames) is not null, setupOptions, cancel);
            if (parsed.GetValue(frames) is not null)
                throw CommandFailure.Usage("--frames", $"{path} holds no link bytes; name a file that capture --raw or synth --link wrote, or leave it away");
            if (LiveInspectRun.IsSource(path))
                return LiveInspectRun.Run(parsed, path, parsed.GetValue(time) is { } text ? OptionText.SecondsAbove0(time.Name, text) : 10, outputs, allSweeps, setupOptions, cancel);
            if (parsed.GetValue(time) is not null)
                throw CommandFailure.Usage(time.Name, $"{path} is no live source; leave it away, or name a source such as serial:PORT");
            return Run(parsed, path, outputs, allSweeps, setupOptions, cancel);
        });
        return command;
    }

    /// <summary>Looks at a recording and writes what is asked for.</summary>
    /// <param name="parsed">The command line.</param>
    /// <param name="path">The recording.</param>
    /// <param name="wanted">Outputs.</param>
    /// <param name="allSweeps">Whether every sweep is listed in the JSON.</param>
    /// <param name="setupOptions">Options that override the setup.</param>
    /// <param name="cancel">Stops it.</param>
    /// <param name="name">What it is called where that is not its path.</param>
    /// <param name="saidBySomebody">Whether channels and bits are said by a person or the device; null: a setup file says so.</param>
    /// <param name="notes">What else is to be remarked.</param>
    public static int Run(
        ParseResult parsed, string path, (string Option, string Path)[] wanted, bool allSweeps, SetupOptions setupOptions, CancellationToken cancel,
        string? name = null, bool? saidBySomebody = null, IReadOnlyList<string>? notes = null)
    {
        using RecordingRun run = RecordingRun.Open(path, parsed, setupOptions);
        using OutputSet outputs = OutputSet.Open(wanted, run.FilesRead);
        RecordingWalk walk = new(run.Reader);
        RecordingFacts recorded = new()
        {
            Name = name ?? path,
            ZeroIsMiddle = run.Reader.WordName.StartsWith("ri", StringComparison.Ordinal),
            Notes = [.. run.Notes, .. notes ?? []],
        };
        InspectionFacts facts = Inspection.Look(walk, recorded, run.Setup, cancel);
        facts = facts with
        {
            Recording = facts.Recording with
            {
                Truncated = run.Reader.IsTruncated,
                NotANumber = walk.NotANumber,
                FirstNotANumber = walk.FirstNotANumber,
            },
        };
        IReadOnlyList<Finding> findings = Inspection.Find(facts);

        if (outputs.StreamOf("--json") is { } json)
        {
            // The engine decides the same way each time, so a second run lists every sweep without keeping any.
            InspectionJson.Write(json, facts, findings, allSweeps ? sink => run.Feed(new SweepEngine(run.Setup, sink), cancel) : null);
        }

        if (outputs.StreamOf("--write-setup") is { } setup) SetupFile.Write(setup, SetupGuess.Of(facts, saidBySomebody ?? run.SetupPath is not null));
        outputs.Commit();
        if (!outputs.UsesStandardOutput)
        {
            new InspectionTables(new PeopleTables(parsed.InvocationConfiguration.Output, Console.IsOutputRedirected)).Print(facts, findings);
            PeopleTables tables = new(parsed.InvocationConfiguration.Output, Console.IsOutputRedirected);
            foreach ((string option, string file) in outputs.Files) tables.Line($"Written: {file} ({option})");
        }

        return ExitCode.Done;
    }
}
