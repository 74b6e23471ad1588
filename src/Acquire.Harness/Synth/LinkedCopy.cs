using Acquire.Capture;
using Acquire.Harness.Instrument;
using Acquire.Link;
using Acquire.Recordings;
using Acquire.Sources.Synthetic;

namespace Acquire.Harness.Synth;

/// <summary>Brings a bench's scans to a recording the way a device's come: encoded into frames, decoded again.</summary>
internal static class LinkedCopy
{
    private const int BytesPerTake = 16 << 10;

    /// <summary>Copies a whole stream.</summary>
    /// <param name="options">The bench; it must end.</param>
    /// <param name="writer">Gets the scans.</param>
    /// <param name="cancel">Stops between two frames.</param>
    /// <returns>The bench's truth.</returns>
    public static SyntheticTruth Copy(SyntheticOptions options, RecordingWriter writer, CancellationToken cancel)
    {
        FrameBuffer bytes = new();
        InstrumentVoice voice = new(options, new LinkEncoderOptions(), new FaultyLine(new LineFaultOptions(), bytes, new LineTruth()));
        LinkDecoder decoder = new(new WriterReceiver(writer));
        LinkEncoder.WriteDelimiter(bytes);
        voice.Describe();
        while (voice.Speak())
        {
            cancel.ThrowIfCancellationRequested();
            if (bytes.Written.Length < BytesPerTake) continue;
            decoder.Take(bytes.Written);
            bytes.Clear();
        }

        voice.End();
        decoder.Take(bytes.Written);
        decoder.Complete();
        return voice.Bench.Truth;
    }

    private sealed class WriterReceiver(RecordingWriter writer) : IScanReceiver
    {
        public void Describe(StreamDescription description)
        {
            // The recording was begun with what the bench's options say, which is the same.
        }

        public void Take(ReadOnlySpan<ushort> scans) => writer.Write(scans);

        public void Skip(long lostScans, GapCause cause) => writer.WriteGap(lostScans, cause);

        public void Break(GapCause cause, long atLeast) => writer.WriteBreak(cause);

        public void Mark(long position, ushort word) => writer.Annotate(new RecordingAnnotation(writer.ScanCount, Label: "mark", Mark: word));

        public void Say(string text) => writer.Annotate(new RecordingAnnotation(writer.ScanCount, Label: "device", Comment: text));
    }
}
