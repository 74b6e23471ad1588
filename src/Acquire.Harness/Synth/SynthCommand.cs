using System.CommandLine;
using System.Globalization;
using System.Text.Json;
using Acquire.Harness.Output;
using Acquire.Harness.Shell;
using Acquire.Recordings;
using Acquire.Sources.Synthetic;

namespace Acquire.Harness.Synth;

/// <summary>The verb <c>synth</c>: a recording of an instrument that exists only as numbers, and the truth beside it.</summary>
internal static class SynthCommand
{
    private const long MostSpecBytes = 4 << 20;
    private static readonly string[] Limits = ["scans=", "sweeps=", "duration="];

    /// <summary>Builds the verb.</summary>
    public static Command Create()
    {
        Command command = new("synth", "Write a synthetic recording with chosen faults, its setup and the truth beside it.");
        Argument<string[]> settings = new("BENCH|NAME=VALUE")
        {
            Description = "Name of a bench or kind of fault to start from, then single settings such as seed=5, sweeps=20, ramp.noise=2.",
            Arity = ArgumentArity.ZeroOrMore,
        };
        Option<string?> name = new("--out") { HelpName = "NAME", Description = "Name of the recording, without an ending; with --link the file of bytes, or -; with --pty the truth's." };
        Option<string?> spec = new("--spec") { HelpName = "FILE", Description = "A JSON file that describes the bench, instead of a name and settings." };
        command.Arguments.Add(settings);
        command.Options.Add(name);
        command.Options.Add(spec);
        LinkOptions link = new();
        link.AddTo(command);
        command.Runs((parsed, cancel) =>
        {
            link.Check(parsed);
            string[] given = parsed.GetValue(settings) ?? [];
            SyntheticOptions options = Read(given, parsed.GetValue(spec));
            string? path = parsed.GetValue(name);
            if (path?.Length == 0) throw CommandFailure.Usage("--out", "the name is empty; give the recording a name");
            if (link.WantsTerminal(parsed)) return SynthLinkRun.Serve(parsed, link, parsed.GetValue(spec) is null ? Endless(options, given) : options, path, cancel);
            if (path is null) throw CommandFailure.Usage("--out", "it is missing; give the name of what is to be written");
            if (link.WantsBytes(parsed)) return SynthLinkRun.Write(parsed, link, options, path, cancel);
            path = RecordingName.Of("--out", path);
            SyntheticTruth truth = SyntheticRecording.Write(path, options, $"Synthetic bench, seed {options.Seed}", cancel);
            Print(new PeopleTables(parsed.InvocationConfiguration.Output, Console.IsOutputRedirected), path, truth);
            return ExitCode.Done;
        });
        return command;
    }

    // A recording ends after some sweeps where nothing is said; an instrument goes on until it is switched off.
    private static SyntheticOptions Endless(SyntheticOptions options, string[] settings) =>
        settings.Any(setting => Limits.Any(limit => setting.StartsWith(limit, StringComparison.Ordinal)))
            ? options
            : options with { Sweeps = null, Scans = null, DurationSeconds = null, KeepTruth = false };

    private static SyntheticOptions Read(string[] settings, string? specPath)
    {
        try
        {
            if (specPath is null) return FromSettings(settings);
            if (settings.Length > 0) throw CommandFailure.Usage("--spec", $"the file describes the whole bench and '{settings[0]}' is given too; leave one of the two away");
            using JsonDocument document = JsonDocument.Parse(ReadSpec(specPath));
            return SyntheticSpec.Parse(document.RootElement);
        }
        catch (SyntheticSpecException exception)
        {
            throw CommandFailure.Usage(specPath ?? "synth", exception.Message);
        }
        catch (JsonException exception)
        {
            throw CommandFailure.Usage(specPath!, $"it is not JSON: {exception.Message}");
        }
    }

    private static SyntheticOptions FromSettings(string[] settings)
    {
        if (settings.Length == 0) return SyntheticSpec.ParseSettings(settings);
        bool named = !settings[0].Contains('=', StringComparison.Ordinal);
        string[] rest = named ? settings[1..] : settings;
        if (!named) return SyntheticSpec.ParseSettings(rest);

        // A name and settings are what a source says after synth:, so there is one reader for both.
        return rest.Any(setting => setting.Contains('&', StringComparison.Ordinal))
            ? throw CommandFailure.Usage("synth", "settings stand apart with spaces here, not with &; write them one by one")
            : SyntheticSpec.ParseSource(rest.Length == 0 ? settings[0] : $"{settings[0]}?{string.Join('&', rest)}");
    }

    private static byte[] ReadSpec(string path)
    {
        if (Directory.Exists(path)) throw CommandFailure.Unreadable(path, "it is a folder; name a JSON file inside it");
        FileInfo file = new(path);
        if (!file.Exists) throw CommandFailure.Unreadable(path, "it does not exist; check the name and the folder");
        return file.Length <= MostSpecBytes
            ? File.ReadAllBytes(path)
            : throw CommandFailure.Usage(path, $"it has {file.Length} bytes, a description has at most {MostSpecBytes}; check that it is the right file");
    }

    private static void Print(PeopleTables tables, string path, SyntheticTruth truth)
    {
        string name = SetupFile.NameBeside(path)[..^SetupFile.Extension.Length];
        tables.Line($"{name}: {truth.Scans} scans, {truth.SweepCount} whole sweeps, {truth.GapCount} gaps with {truth.Lost} lost scans, {truth.BreakCount} breaks, "
            + $"seed {truth.Options.Seed.ToString(CultureInfo.InvariantCulture)}");
        foreach (string ending in (string[])[".sigmf-data", ".sigmf-meta", SetupFile.Extension, SyntheticRecording.TruthExtension])
            tables.Line($"Written: {name}{ending}");
        tables.Line($"Next: acquire replay {name}");
    }
}
