using System.CommandLine;
using System.Globalization;
using Acquire.Harness.Options;
using Acquire.Harness.Output;
using Acquire.Harness.Shell;
using Acquire.Harness.Synth;
using Acquire.Sources.Synthetic;

namespace Acquire.Harness.Demo;

/// <summary>The verb <c>demo</c>: the main job in one go, on built-in data.</summary>
internal static class DemoCommand
{
    private const string Wire = "wire", Trap = "trap", Tuning = "tuning";

    /// <summary>Builds the verb.</summary>
    public static Command Create()
    {
        Command command = new("demo", "Do the main job once on built-in data: record, replay, normalise, measure, draw.");
        Option<string> folder = new("--out") { HelpName = "DIR", Description = "Folder for the files; default demo-out.", DefaultValueFactory = _ => "demo-out" };
        Option<string?> size = new("--size") { HelpName = "WIDTHxHEIGHT|a4|a3", Description = "Size of the sheets; default 1600x1000." };
        command.Options.Add(folder);
        command.Options.Add(size);
        command.Runs((parsed, cancel) =>
        {
            string[] sized = parsed.GetValue(size) is { } asked ? [size.Name, asked] : [];
            if (sized.Length > 0) SheetOptionText.Size(size.Name, sized[1]);
            return Run(parsed, parsed.GetRequiredValue(folder), sized, cancel);
        });
        return command;
    }

    private static int Run(ParseResult parsed, string folder, string[] sized, CancellationToken cancel)
    {
        CreateFolder(folder);
        PeopleTables tables = new(parsed.InvocationConfiguration.Output, Console.IsOutputRedirected);
        tables.Line("A harbour museum keeps a long-wave receiver, and in front of it a trap that keeps the harbour's own beacon out.");
        tables.Line("An old swept instrument is put on the bench: first a wire, then the trap, then the trap while its core is turned.");
        tables.Line("The converter's scans come over the link protocol, as a device would send them.");
        tables.Line("");

        string wire = Path.Combine(folder, Wire), trap = Path.Combine(folder, Trap), tuning = Path.Combine(folder, Tuning);
        SyntheticRecording.Write(wire, HarbourBench.Wire, "Harbour museum: a wire in place of the trap", cancel, overLink: true);
        SyntheticTruth truth = SyntheticRecording.Write(trap, HarbourBench.Trapped, "Harbour museum: the long-wave trap", cancel, overLink: true);
        SyntheticRecording.Write(tuning, HarbourBench.Tuning, "Harbour museum: the trap while its core is turned", cancel, overLink: true);

        // Half way through the third sweep.
        TrueSweep third = truth.Sweeps[2];
        long middle = (third.StartScan + third.EndScan) / 2;
        string[][] commands =
        [
            [
                "replay", trap, "--reference", wire, "--average", "4", "--marker", "minimum", "--marker", "198kHz", "--bandwidth=-3.01", "--bandwidth=-20",
                "--json", trap + ".json", "--csv", trap + ".csv", "--title", "The trap against a wire", "--png", trap + ".png", "--svg", trap + ".svg",
                "--compare-png", Path.Combine(folder, "compare.png"), .. sized,
            ],
            ["replay", trap, "--title", "The trap as it was seen", "--marker", "minimum", "--png", Path.Combine(folder, "sweep.png"), .. sized],
            [
                "replay", trap, "--partial-at", middle.ToString(CultureInfo.InvariantCulture), "--title", "A sweep under way", "--sheet", "dark",
                "--png", Path.Combine(folder, "partial.png"), .. sized,
            ],
            ["replay", tuning, "--title", "The core is turned", "--history-png", tuning + ".png", .. sized],
        ];
        tables.Line("These commands did the rest:");
        foreach (string[] command in commands)
        {
            tables.Line("  acquire " + string.Join(' ', command.Select(Quoted)));
            HarnessProgram.RunInside(command, cancel);
        }

        tables.Line("");
        DemoFindings.Print(tables, trap + ".json");
        PrintFiles(tables, folder);
        return ExitCode.Done;
    }

    private static string Quoted(string argument) => argument.Contains(' ', StringComparison.Ordinal) ? $"\"{argument}\"" : argument;

    private static void CreateFolder(string folder)
    {
        try
        {
            Directory.CreateDirectory(folder);
        }
        catch (Exception exception) when (exception is IOException or UnauthorizedAccessException or ArgumentException)
        {
            throw CommandFailure.Unreadable(folder, "the folder cannot be made: " + exception.Message + " Give another with --out.", exception);
        }
    }

    private static void PrintFiles(PeopleTables tables, string folder)
    {
        tables.Table($"Files in {folder}", ["file", "holds"],
        [
            ["sweep.png", "the chart sheet of one sweep: the trap as the instrument showed it"],
            ["trap.png, trap.svg", "the trap against the wire: normalised, with its widths"],
            ["compare.png", "both recordings over one axis, and their difference"],
            ["partial.png", "the picture half way through a sweep: fresh to the left, the sweep before to the right"],
            ["tuning.png", "the history while the core is turned"],
            ["trap.csv, trap.json", "the same measurement for other programs"],
            ["wire, trap, tuning .sigmf-data .sigmf-meta", "the recordings"],
            ["wire, trap, tuning .setup.json", "what the codes stand for"],
            ["wire, trap, tuning .truth.json", "what really happened, to compare with"],
        ]);
        string trap = Path.Combine(folder, Trap);
        tables.Table("Try next", ["command", "shows"],
        [
            [$"acquire replay {trap}", "the sweeps of the recording, and where every scan went"],
            [$"acquire inspect {trap}", "the ramp, its noise and hum, and what else was found"],
            [$"acquire replay {trap} --jsonl", "every sweep, column by column, for other programs"],
            [$"acquire replay {trap} --png a3.png --size a3", "a sheet to pin on a wall"],
            [$"acquire replay {trap} --wav {trap}.wav", "the recording for programs that read sound files"],
            ["acquire synth needles --out needles", "another bench, with its truth beside it"],
        ]);
        tables.Line("In a clone of the repository, write dotnet run -c Release --project src/Acquire.Harness -- in place of acquire.");
    }
}
