using System.Text.Json;
using Acquire.Capture;

namespace Acquire.Recordings.Sigmf;

/// <summary>Writes metadata files.</summary>
internal static class SigmfMetadataWriter
{
    private const string FormatVersion = "1.2.5";

    /// <summary>Above this many segments a line for each field is no help to a reader and half of the file.</summary>
    private const int MostIndentedCaptures = 1_000;

    /// <summary>Writes the metadata of one recording.</summary>
    /// <param name="stream">Gets the text.</param>
    /// <param name="options">What the recording says about itself.</param>
    /// <param name="captures">Its segments.</param>
    /// <param name="annotations">Its remarks, in any order.</param>
    /// <param name="lostAtEnd">Scans lost after the last one.</param>
    /// <param name="lostAtEndCause">Why.</param>
    /// <param name="sha512">Hash of the dataset, or null.</param>
    /// <param name="growing">Whether it is still being written.</param>
    public static void Write(
        Stream stream, RecordingWriterOptions options, List<SigmfCapture> captures, List<RecordingAnnotation> annotations,
        long lostAtEnd, GapCause lostAtEndCause, string? sha512, bool growing)
    {
        using var json = new Utf8JsonWriter(stream, new JsonWriterOptions { Indented = captures.Count <= MostIndentedCaptures, NewLine = "\n" });
        json.WriteStartObject();
        json.WriteStartObject("global");
        json.WriteString("core:datatype", "ru16_le");
        json.WriteString("core:version", FormatVersion);
        json.WriteNumber("core:num_channels", options.ChannelCount);
        if (options.ScanRateHz is { } rate) json.WriteNumber("core:sample_rate", rate);
        if (options.Description is { } description) json.WriteString("core:description", description);
        if (options.Author is { } author) json.WriteString("core:author", author);
        if (options.Hardware is { } hardware) json.WriteString("core:hw", hardware);
        if (sha512 is not null) json.WriteString("core:sha512", sha512);
        Extension(json);
        if (options.Bits is { } bits) json.WriteNumber(SigmfExtension.Bits, bits);
        if (growing) json.WriteBoolean(SigmfExtension.Growing, value: true);
        if (lostAtEnd > 0)
        {
            json.WriteNumber(SigmfExtension.LostAtEnd, lostAtEnd);
            json.WriteString(SigmfExtension.LostAtEndCause, SigmfExtension.WordOf(lostAtEndCause));
        }

        json.WriteEndObject();
        json.WriteStartArray("captures");
        foreach (SigmfCapture capture in captures) Capture(json, capture);
        json.WriteEndArray();
        json.WriteStartArray("annotations");
        foreach (RecordingAnnotation annotation in annotations.OrderBy(a => a.StartScan)) Annotation(json, annotation);
        json.WriteEndArray();
        json.WriteEndObject();
    }

    private static void Extension(Utf8JsonWriter json)
    {
        json.WriteStartArray("core:extensions");
        json.WriteStartObject();
        json.WriteString("name", SigmfExtension.Name);
        json.WriteString("version", SigmfExtension.Version);
        json.WriteBoolean("optional", value: true);
        json.WriteEndObject();
        json.WriteEndArray();
    }

    private static void Capture(Utf8JsonWriter json, in SigmfCapture capture)
    {
        json.WriteStartObject();
        json.WriteNumber("core:sample_start", capture.SampleStart);
        json.WriteNumber("core:global_index", capture.GlobalIndex ?? capture.SampleStart);
        if (capture.Started is { } started) json.WriteString("core:datetime", SigmfTime.Format(started));
        if (capture.IsBreak) json.WriteBoolean(SigmfExtension.Break, value: true);
        if (capture.Cause is { } cause) json.WriteString(SigmfExtension.Cause, SigmfExtension.WordOf(cause));
        json.WriteEndObject();
    }

    private static void Annotation(Utf8JsonWriter json, RecordingAnnotation annotation)
    {
        json.WriteStartObject();
        json.WriteNumber("core:sample_start", annotation.StartScan);
        if (annotation.ScanCount is { } count) json.WriteNumber("core:sample_count", count);
        if (annotation.Label is { } label) json.WriteString("core:label", label);
        if (annotation.Comment is { } comment) json.WriteString("core:comment", comment);
        if (annotation.Mark is { } mark) json.WriteNumber(SigmfExtension.Mark, mark);
        json.WriteEndObject();
    }
}
