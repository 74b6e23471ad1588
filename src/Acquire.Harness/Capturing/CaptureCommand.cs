using System.CommandLine;
using Acquire.Capture;
using Acquire.Harness.Options;
using Acquire.Harness.Output;
using Acquire.Harness.Shell;
using Acquire.Recordings;
using Acquire.Sources.Recording;

namespace Acquire.Harness.Capturing;

/// <summary>The verb <c>capture</c>: a source to a recording, until it is stopped; safe against being killed at any moment.</summary>
internal static class CaptureCommand
{
    /// <summary>Builds the verb.</summary>
    public static Command Create()
    {
        Command command = new("capture", "Record a source until it is stopped; killed at any moment, what was recorded opens and lacks a second at most.");
        CaptureOptionsRead options = new();
        SetupOptions setupOptions = new();
        options.AddTo(command);
        setupOptions.AddTo(command);
        command.Runs((parsed, cancel) => Run(parsed, options.Read(parsed), setupOptions, cancel));
        return command;
    }

    private static int Run(ParseResult parsed, CaptureChoices choices, SetupOptions setupOptions, CancellationToken cancel)
    {
        // A recording is of what came; what was left away nobody could have again.
        if (setupOptions.Picked(parsed).Count > 0)
            throw CommandFailure.Usage("--channels", "a capture keeps every channel, in the order of its source; leave it away, and pick channels when the recording is replayed or inspected");
        string? setupPath = setupOptions.SetupPath(parsed);
        Setup? file = setupPath is null ? null : SetupFile.Load(setupPath);
        CaptureRun run = new(choices, file, description => SetupFor(parsed, setupOptions, file, description));
        CaptureProgress progress = new(parsed.InvocationConfiguration.Error, !Console.IsErrorRedirected, Path.GetDirectoryName(Path.GetFullPath(choices.Name))!);
        CaptureResult result;
        try
        {
            result = run.Go(progress.Look, cancel);
        }
        finally
        {
            progress.Done();
        }

        PeopleTables tables = new(parsed.InvocationConfiguration.Output, Console.IsOutputRedirected);
        try
        {
            CaptureSummary.Print(tables, choices, result);
        }
        catch (CommandFailure) when (result.Failure is not null)
        {
            // What ended the capture weighs more than that standard output takes no counts.
        }

        if (result.Failure is { } failure) throw failure;
        return cancel.IsCancellationRequested ? ExitCode.Stopped : ExitCode.Done;
    }

    /// <summary>The setup for a stream: what the person says comes first, then what the device says of itself.</summary>
    public static SetupDocument SetupFor(ParseResult parsed, SetupOptions options, Setup? file, StreamDescription description)
    {
        SetupDocument described = StreamSetup.Of(description);
        int channels = description.Scan.ChannelCount;
        if (file is not null && file.Scan.ChannelCount != channels)
        {
            throw CommandFailure.Usage(options.SetupPath(parsed)!, $"it describes {file.Scan.ChannelCount} channels but the source brings {channels}; "
                + "correct its channels or give another file with --setup");
        }

        // The recording states the source's bits: a setup beside it that says others would contradict it.
        if (options.Bits(parsed) is { } bits && bits != description.Scan.Bits)
        {
            throw CommandFailure.Usage("--bits", $"it says {bits} but the source's codes have {description.Scan.Bits} bits; leave it away, or where the source does not know its bits, write bits={bits} behind its name");
        }

        Setup start = file is null
            ? described.Setup
            : file with { Scan = file.Scan with { Bits = description.Scan.Bits, ScanRateHz = description.Scan.ScanRateHz ?? file.Scan.ScanRateHz } };
        return new SetupDocument(options.Override(parsed, start, channels), file is null && !options.SaysUp(parsed) ? described.Guessed : []);
    }
}
