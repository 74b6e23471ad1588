using System.Diagnostics;
using System.Text.Json;
using Acquire.Harness.Shell;
using Acquire.Recordings;
using Acquire.Sources.Synthetic;

namespace Acquire.Harness.Synth;

/// <summary>Writes what a synthetic bench gives to a recording, with its setup and its truth beside it.</summary>
internal static class SyntheticRecording
{
    /// <summary>Ending of the truth's file.</summary>
    public const string TruthExtension = ".truth.json";

    private const int ScansPerRead = 64 * 1024;

    /// <summary>Writes NAME.sigmf-data, NAME.sigmf-meta, NAME.setup.json and NAME.truth.json, each whole or not at all.</summary>
    /// <param name="name">NAME, with or without a recording's ending.</param>
    /// <param name="options">What the bench is like; it must end.</param>
    /// <param name="description">What the recording says that it is of.</param>
    /// <param name="cancel">Stops between two reads; then nothing is left behind.</param>
    /// <param name="overLink">Whether the scans go through the link protocol on their way.</param>
    /// <returns>Scans, sweeps and losses as they were.</returns>
    public static SyntheticTruth Write(string name, SyntheticOptions options, string description, CancellationToken cancel, bool overLink = false)
    {
        string setupPath = SetupFile.NameBeside(name);
        string truthPath = setupPath[..^SetupFile.Extension.Length] + TruthExtension;
        SyntheticBench bench = new(options);

        // The setup's place is tried before anything long begins, and its file is written last.
        using AtomicFile setupFile = AtomicFile.Create(setupPath);
        using AtomicFile truthFile = AtomicFile.Create(truthPath);
        using RecordingWriter writer = new(name, new RecordingWriterOptions
        {
            ChannelCount = options.Roles.Count,
            Bits = options.Bits,
            ScanRateHz = options.ScanRateHz,
            Description = description,
        });
        SyntheticTruth truth = bench.Truth;
        if (overLink) truth = LinkedCopy.Copy(options, writer, cancel);
        else Copy(bench, writer, options, cancel);
        if (writer.ScanCount == 0)
            throw CommandFailure.Usage(name, "the bench ends before its first scan; ask for more scans, sweeps or seconds");
        using (Utf8JsonWriter json = new(truthFile.Stream, new JsonWriterOptions { Indented = true })) truth.WriteJson(json);
        writer.Complete();
        truthFile.Commit();
        SetupFile.Save(setupPath, bench.SetupFor());
        return truth;
    }

    private static void Copy(SyntheticBench bench, RecordingWriter writer, SyntheticOptions options, CancellationToken cancel)
    {
        ushort[] scans = new ushort[ScansPerRead * options.Roles.Count];
        while (true)
        {
            cancel.ThrowIfCancellationRequested();
            SyntheticRead read = bench.Read(scans);
            switch (read.Kind)
            {
                case SyntheticReadKind.Scans:
                    writer.Write(scans.AsSpan(0, checked((int)read.Count * options.Roles.Count)));
                    break;
                case SyntheticReadKind.Gap:
                    writer.WriteGap(read.Count, options.Loss.Cause);
                    break;
                case SyntheticReadKind.Break:
                    writer.WriteBreak(options.Loss.Cause);
                    break;
                case SyntheticReadKind.End:
                    return;
                default:
                    throw new UnreachableException();
            }
        }
    }
}
