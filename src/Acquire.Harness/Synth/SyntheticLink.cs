using System.Text.Json;
using Acquire.Harness.Instrument;
using Acquire.Harness.Shell;
using Acquire.Link;
using Acquire.Recordings;
using Acquire.Sources.Synthetic;

namespace Acquire.Harness.Synth;

/// <summary>Gives what a synthetic bench says over the link: into a file, or in real time on a pseudo-terminal.</summary>
internal static class SyntheticLink
{
    private const int BytesPerWrite = 64 << 10;
    private const int FramesPerDescription = 1_000;

    /// <summary>Writes the bytes of a whole stream.</summary>
    /// <param name="output">Gets them.</param>
    /// <param name="options">The bench; it must end.</param>
    /// <param name="encoder">How frames are made.</param>
    /// <param name="faults">What the line does.</param>
    /// <param name="bench">The bench's truth.</param>
    /// <param name="cancel">Stops between two frames.</param>
    /// <returns>What was said, and what became of it.</returns>
    public static LineTruth Write(
        Stream output, SyntheticOptions options, LinkEncoderOptions encoder, LineFaultOptions faults, out SyntheticTruth bench, CancellationToken cancel)
    {
        FrameBuffer bytes = new();
        LineTruth truth = new();
        InstrumentVoice voice = new(options, encoder, new FaultyLine(faults, bytes, truth));
        LinkEncoder.WriteDelimiter(bytes);
        truth.Bytes++;
        for (long frame = 0; ; frame++)
        {
            cancel.ThrowIfCancellationRequested();
            if (frame % FramesPerDescription == 0) voice.Describe();
            if (!voice.Speak()) break;
            if (bytes.Written.Length >= BytesPerWrite) Push();
        }

        voice.End();
        Push();
        bench = voice.Bench.Truth;
        return truth;

        void Push()
        {
            output.Write(bytes.Written);
            bytes.Clear();
        }
    }

    /// <summary>Serves a virtual instrument until the bench ends or the user stops it.</summary>
    /// <param name="options">The bench.</param>
    /// <param name="encoder">How frames are made.</param>
    /// <param name="faults">What the line does.</param>
    /// <param name="bufferScans">Scans that the device can hold back, or null.</param>
    /// <param name="linkPath">Symbolic link to the terminal, or null.</param>
    /// <param name="ready">Told the terminal's name when it can be opened.</param>
    /// <param name="bench">The bench's truth.</param>
    /// <param name="cancel">Stops it.</param>
    public static LineTruth Serve(
        SyntheticOptions options, LinkEncoderOptions encoder, LineFaultOptions faults, long? bufferScans, string? linkPath,
        Action<string> ready, out SyntheticTruth bench, CancellationToken cancel)
    {
        using PseudoTerminal terminal = new();
        FrameBuffer bytes = new();
        LineTruth truth = new();
        InstrumentVoice voice = new(options, encoder, new FaultyLine(faults, bytes, truth));
        bench = voice.Bench.Truth;
        using TerminalLink? link = linkPath is null ? null : new TerminalLink(linkPath, terminal.Name);
        ready(terminal.Name);
        new VirtualInstrument(terminal, voice, bytes, truth, faults.StallTime, bufferScans).Serve(cancel);
        return truth;
    }

    /// <summary>Writes the truth of a link: what was sent, what became of it, and what the bench did.</summary>
    public static void WriteTruth(Stream stream, LineTruth truth, LineFaultOptions faults, SyntheticTruth bench)
    {
        using Utf8JsonWriter json = new(stream, new JsonWriterOptions { Indented = true, NewLine = "\n" });
        json.WriteStartObject();
        json.WritePropertyName("link");
        truth.WriteJson(json, faults);
        json.WritePropertyName("bench");
        bench.WriteJson(json);
        json.WriteEndObject();
    }

    /// <summary>Name of the truth's file beside an output.</summary>
    public static string TruthName(string path)
    {
        foreach (string ending in (string[])[".link", ".raw", ".bin"])
            if (path.EndsWith(ending, StringComparison.Ordinal)) path = path[..^ending.Length];
        return SetupFile.NameBeside(path)[..^SetupFile.Extension.Length] + SyntheticRecording.TruthExtension;
    }
}
