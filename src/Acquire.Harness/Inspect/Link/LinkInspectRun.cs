using System.CommandLine;
using Acquire.Harness.Inspect.Findings;
using Acquire.Harness.Options;
using Acquire.Harness.Output;
using Acquire.Harness.Shell;
using Acquire.Recordings;
using Acquire.Sources.Recording;

namespace Acquire.Harness.Inspect.Link;

/// <summary>What <c>inspect</c> does with a file of link bytes: the frames first, then their scans as if they were a recording.</summary>
internal static class LinkInspectRun
{
    /// <summary>Looks and writes.</summary>
    /// <param name="parsed">The command line.</param>
    /// <param name="path">The file.</param>
    /// <param name="wanted">Outputs.</param>
    /// <param name="allSweeps">Whether every sweep is listed in the JSON.</param>
    /// <param name="allFrames">Whether every frame is listed.</param>
    /// <param name="setupOptions">Options that override the setup.</param>
    /// <param name="cancel">Stops it.</param>
    public static int Run(
        ParseResult parsed, string path, (string Option, string Path)[] wanted, bool allSweeps, bool allFrames, SetupOptions setupOptions, CancellationToken cancel)
    {
        using LinkFile file = LinkFile.Open(path);
        string? setupPath = setupOptions.SetupPath(parsed);
        using OutputSet outputs = OutputSet.Open(wanted, setupPath is null ? [path] : [path, setupPath]);
        LinkLook look = LinkLook.At(file, LinkJson.FramesListed, allFrames ? int.MaxValue : LinkJson.FaultsListed, cancel);
        InspectionFacts? facts = look.Decoder.ScansDelivered == 0 ? null : Look(parsed, look, setupPath, setupOptions, cancel);
        IReadOnlyList<Finding> findings = facts is null ? Finding.Sort(LinkFindings.Of(look)) : Inspection.Find(facts);

        if (outputs.StreamOf("--json") is { } json)
        {
            Action<System.Text.Json.Utf8JsonWriter> link = writer => LinkJson.Write(writer, look, allFrames, cancel);
            if (facts is null) InspectionJson.WriteWithoutScans(json, findings, link);
            else InspectionJson.Write(json, facts, findings, allSweeps ? sink => Feed(file, facts.Setup, sink, cancel) : null, link);
        }

        if (outputs.StreamOf("--write-setup") is { } setup)
        {
            if (facts is null) throw new CommandFailure(ExitCode.CheckFailed, $"{path}: no scan is in it, so no setup can be inferred; see its findings");
            SetupFile.Write(setup, SetupGuess.Of(facts, setupPath is not null));
        }

        if (!outputs.UsesStandardOutput) Print(parsed, look, facts, findings, allFrames, outputs, cancel);
        outputs.Commit();
        return ExitCode.Done;
    }

    private static InspectionFacts Look(ParseResult parsed, LinkLook look, string? setupPath, SetupOptions setupOptions, CancellationToken cancel)
    {
        Setup start = setupPath is null ? StreamSetup.Of(look.Description!).Setup : SetupFile.Load(setupPath);
        int channels = look.Description!.Scan.ChannelCount;
        if (start.Scan.ChannelCount != channels)
        {
            throw CommandFailure.Usage(setupPath!, $"it describes {start.Scan.ChannelCount} channels but the device sends {channels}; "
                + "correct its channels or give another file with --setup");
        }

        Setup setup = setupOptions.Override(parsed, start, channels);
        InspectionFacts facts = Inspection.Look(new LinkWalk(look.File, channels), new RecordingFacts { Name = "Its scans" }, setup, cancel);
        return facts with { Link = look };
    }

    private static void Feed(LinkFile file, Setup setup, ISweepSink sink, CancellationToken cancel)
    {
        SweepEngine engine = new(setup, sink);
        new LinkWalk(file, setup.Scan.ChannelCount).Walk(new EngineFeed(engine), cancel);
        engine.Complete();
    }

    private static void Print(
        ParseResult parsed, LinkLook look, InspectionFacts? facts, IReadOnlyList<Finding> findings, bool allFrames, OutputSet outputs, CancellationToken cancel)
    {
        PeopleTables tables = new(parsed.InvocationConfiguration.Output, Console.IsOutputRedirected);
        new LinkTables(tables).Print(look, allFrames, cancel);
        InspectionTables inspection = new(tables);
        if (facts is null) inspection.Findings(findings);
        else inspection.Print(facts, findings);
        foreach ((string option, string written) in outputs.Files) tables.Line($"Written: {written} ({option})");
    }

    private sealed class EngineFeed(SweepEngine engine) : IScanVisitor
    {
        public bool Scans(ReadOnlySpan<ushort> scans)
        {
            engine.Process(scans);
            return true;
        }

        public bool Lost(long lostScans, Acquire.Capture.GapCause cause)
        {
            engine.Skip(lostScans, cause);
            return true;
        }

        public bool Broken(Acquire.Capture.GapCause cause)
        {
            engine.Break(cause);
            return true;
        }
    }
}
