using System.CommandLine;
using System.Globalization;
using Acquire.Harness.Inspect;
using Acquire.Harness.Instrument;
using Acquire.Harness.Output;
using Acquire.Harness.Shell;
using Acquire.Recordings;
using Acquire.Sources.Synthetic;

namespace Acquire.Harness.Synth;

/// <summary>What <c>synth --link</c> and <c>synth --pty</c> do.</summary>
internal static class SynthLinkRun
{
    /// <summary>Writes the bytes of a stream to a file or to standard output.</summary>
    public static int Write(ParseResult parsed, LinkOptions link, SyntheticOptions options, string path, CancellationToken cancel)
    {
        LineFaultOptions faults = link.Line(parsed);
        string truthPath = SyntheticLink.TruthName(path);
        bool standard = path is OutputFile.Standard;
        using OutputSet outputs = OutputSet.Open(standard ? [("--out", path)] : [("--out", path), ("the truth", truthPath)], []);
        LineTruth truth = SyntheticLink.Write(outputs.StreamOf("--out")!, options, link.Encoder(parsed), faults, out SyntheticTruth bench, cancel);
        if (truth.Scans == 0) throw CommandFailure.Usage(path, "the bench ends before its first scan; ask for more scans, sweeps or seconds");
        if (outputs.StreamOf("the truth") is { } stream) SyntheticLink.WriteTruth(stream, truth, faults, bench);
        outputs.Commit();
        if (standard) return ExitCode.Done;
        PeopleTables tables = new(parsed.InvocationConfiguration.Output, Console.IsOutputRedirected);
        tables.Line($"{path}: {Summary(truth)}");
        tables.Line($"Written: {path}");
        tables.Line($"Written: {truthPath}");
        tables.Line($"Next: acquire inspect {path}");
        return ExitCode.Done;
    }

    /// <summary>Serves a virtual instrument; Ctrl-C switches it off.</summary>
    public static int Serve(ParseResult parsed, LinkOptions link, SyntheticOptions options, string? path, CancellationToken cancel)
    {
        LineFaultOptions faults = link.Line(parsed);
        if (path is OutputFile.Standard) throw CommandFailure.Usage("--out", "with --pty it names the truth's file; give a name, or leave it away");
        using AtomicFile? truthFile = path is null ? null : AtomicFile.Create(SyntheticLink.TruthName(path));
        TextWriter output = parsed.InvocationConfiguration.Output;
        PeopleTables tables = new(output, Console.IsOutputRedirected);
        string? linkPath = link.TerminalLink(parsed);
        LineTruth truth = SyntheticLink.Serve(options, link.Encoder(parsed), faults, link.BufferScans(parsed), linkPath, Ready, out SyntheticTruth bench, cancel);
        tables.Line($"Sent: {Summary(truth)}");
        int code = cancel.IsCancellationRequested ? ExitCode.Stopped : ExitCode.Done;
        if (truthFile is null) return code;
        SyntheticLink.WriteTruth(truthFile.Stream, truth, faults, bench);
        truthFile.Commit();
        tables.Line($"Written: {truthFile.FullName}");
        return code;

        void Ready(string terminal)
        {
            tables.Line($"Virtual instrument on {terminal}{(linkPath is null ? "" : $", also {linkPath}")}: "
                + $"{Say.Number(options.ScanRateHz, 9)} scans/s, {options.Roles.Count} channels, {options.Bits} bits. Ctrl-C ends it.");
            tables.Line($"Next: acquire capture serial:{linkPath ?? terminal} --for 10s --out bench");
            output.Flush();
        }
    }

    private static string Summary(LineTruth truth)
    {
        string text = string.Create(CultureInfo.InvariantCulture, $"{truth.Scans} scans in {truth.Frames} frames, {truth.Bytes} bytes");
        if (truth.FramesDamaged > 0) text += string.Create(CultureInfo.InvariantCulture, $"; {truth.FramesDamaged} frames damaged with {truth.ScansDamaged} scans");
        if (truth.ScansUnheard > 0) text += string.Create(CultureInfo.InvariantCulture, $"; {truth.ScansUnheard} scans passed while nobody listened");
        if (truth.ScansOverrun > 0) text += string.Create(CultureInfo.InvariantCulture, $"; {truth.ScansOverrun} scans lost since they were taken too slowly");
        return text;
    }
}
