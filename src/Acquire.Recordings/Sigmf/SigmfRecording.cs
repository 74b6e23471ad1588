using System.Buffers;
using Acquire.Capture;
using Acquire.Recordings.Words;
using Microsoft.Win32.SafeHandles;

namespace Acquire.Recordings.Sigmf;

/// <summary>Finds the two files of a recording and reads its metadata.</summary>
internal static class SigmfRecording
{
    public const string MetadataExtension = ".sigmf-meta";
    public const string DataExtension = ".sigmf-data";
    private const string ArchiveExtension = ".sigmf";
    public const int MostChannels = 65_536;

    /// <summary>Largest metadata that is read: about a million segments. What is longer is not metadata.</summary>
    internal const int MostMetadataBytes = 64 << 20;

    private static readonly SearchValues<char> NotInNames = SearchValues.Create("/\\:*?\"<>|\0");

    /// <summary>Name without either extension.</summary>
    public static string NameOf(string path)
    {
        foreach (string extension in (ReadOnlySpan<string>)[MetadataExtension, DataExtension])
            if (path.EndsWith(extension, StringComparison.Ordinal)) return path[..^extension.Length];
        return path;
    }

    /// <summary>Reads metadata and opens the dataset.</summary>
    /// <param name="path">NAME, NAME.sigmf-meta or NAME.sigmf-data.</param>
    /// <param name="data">The open dataset.</param>
    public static RecordingLayout Open(string path, out SafeFileHandle data)
    {
        string name = NameOf(path);
        string metadataPath = name + MetadataExtension;
        SigmfMetadata metadata = SigmfMetadataParser.Parse(ReadMetadata(path, metadataPath), metadataPath);
        WordFormat word = Datatype.Parse(metadata.Datatype!, metadataPath, metadata.Notes);
        string dataPath = DataPathOf(name, metadataPath, metadata);

        RecordingFailure missing = RecordingFailure.DataMissing;
        bool begunOnly = metadata.Growing && (!File.Exists(dataPath) || new FileInfo(dataPath).Length == 0);
        try
        {
            // Killed before the first scan reached the disk: a recording of no scans. Nothing is read from the file that stands for its dataset.
            data = FileOpening.Open(begunOnly ? metadataPath : dataPath, out long bytes, missing, RecordingFailure.NoScans);
            if (begunOnly) bytes = 0;
            try
            {
                return Layout(name, metadataPath, dataPath, metadata, word, bytes);
            }
            catch
            {
                data.Dispose();
                throw;
            }
        }
        catch (RecordingException e) when (e.Failure == missing && metadata.MetadataOnly)
        {
            throw new RecordingException(missing,
                $"{VisibleText.Whole(metadataPath)} says that it comes without a dataset (core:metadata_only); there are no scans to read. Give a recording that has its dataset.", e);
        }
    }

    private static RecordingLayout Layout(
        string name, string metadataPath, string dataPath, SigmfMetadata metadata, WordFormat word, long bytes)
    {
        int channels = (int)metadata.Channels;
        List<Segment> segments = SegmentPlanner.Plan(metadataPath, metadata, channels * word.Bytes, bytes, out long firstIndex);
        if (metadata.Growing)
            metadata.Notes.Add("The recording was not ended: it is being written still, or its writer was stopped in the middle. What is there is whole.");
        if (segments.Count == 0 && !metadata.Growing)
        {
            throw new RecordingException(RecordingFailure.NoScans,
                $"{VisibleText.Whole(dataPath)} has {bytes} bytes, not one whole scan of {channels * word.Bytes} bytes; find the whole dataset.");
        }

        return new RecordingLayout
        {
            Name = name,
            DataPath = dataPath,
            MetadataPath = metadataPath,
            Word = word,
            Channels = channels,
            Segments = segments,
            ScanRateHz = metadata.SampleRate,
            Bits = metadata.Bits,
            LostAtEnd = metadata.LostAtEnd,
            LostAtEndCause = metadata.LostAtEndCause ?? GapCause.File,
            FirstIndex = firstIndex,
            Sha512 = metadata.Sha512,
            Description = metadata.Description,
            Author = metadata.Author,
            Hardware = metadata.Hardware,
            Started = metadata.Captures.Count > 0 ? metadata.Captures[0].Started : null,
            Annotations = Annotations(metadata),
            Notes = metadata.Notes,
            Truncated = metadata.Truncated,
            Growing = metadata.Growing,
        };
    }

    private static List<RecordingAnnotation> Annotations(SigmfMetadata metadata)
    {
        bool sorted = true;
        var annotations = new List<RecordingAnnotation>(metadata.Annotations.Count);
        long before = 0;
        foreach (RecordingAnnotation annotation in metadata.Annotations)
        {
            sorted &= annotation.StartScan >= before;
            before = annotation.StartScan;
            if (annotation.StartScan >= metadata.Offset)
                annotations.Add(annotation with { StartScan = annotation.StartScan - metadata.Offset });
        }

        if (annotations.Count < metadata.Annotations.Count)
            metadata.Notes.Add($"{metadata.Annotations.Count - annotations.Count} annotations lie before the first scan and are left out.");
        if (sorted) return annotations;
        metadata.Notes.Add("The annotations are not sorted by core:sample_start; they were sorted.");
        return [.. annotations.OrderBy(a => a.StartScan)];
    }

    private static byte[] ReadMetadata(string path, string metadataPath)
    {
        if (!File.Exists(metadataPath) && !IsLink(metadataPath))
        {
            if (File.Exists(NameOf(path) + DataExtension))
            {
                throw new RecordingException(RecordingFailure.MetadataMissing,
                    $"{VisibleText.Whole(NameOf(path) + DataExtension)} has no {VisibleText.Whole(Path.GetFileName(metadataPath))} beside it; without it nobody knows what the words mean. Find it or write one.");
            }

            if (Directory.Exists(path))
            {
                throw new RecordingException(RecordingFailure.IsFolder,
                    $"{VisibleText.Whole(path)} is a folder; name a recording inside it.");
            }

            if (path.EndsWith(ArchiveExtension, StringComparison.Ordinal) && File.Exists(path))
            {
                throw new RecordingException(RecordingFailure.UnknownKind,
                    $"{VisibleText.Whole(path)} is an archive; unpack it (it is a tar file) and name the pair that was in it.");
            }

            if (File.Exists(path))
            {
                throw new RecordingException(RecordingFailure.UnknownKind,
                    $"{VisibleText.Whole(path)} is not a recording that is read here; name a pair NAME{MetadataExtension} and NAME{DataExtension}.");
            }
        }

        using SafeFileHandle handle = FileOpening.Open(metadataPath, out long bytes, RecordingFailure.NotFound, RecordingFailure.NotJson);
        if (bytes > MostMetadataBytes)
        {
            throw new RecordingException(RecordingFailure.MetadataTooLarge,
                $"{VisibleText.Whole(metadataPath)} has {bytes} bytes; metadata of more than {MostMetadataBytes} is not read. Check that it is the metadata and not the dataset.");
        }

        byte[] utf8 = new byte[bytes];
        FileOpening.ReadExactly(handle, utf8, 0, metadataPath);
        return utf8;
    }

    // A link that leads nowhere or round in a circle is no existing file, but the reason is worth telling.
    private static bool IsLink(string path) =>
        !path.Contains('\0') && new FileInfo(path).LinkTarget is not null;

    private static string DataPathOf(string name, string metadataPath, SigmfMetadata metadata)
    {
        if (metadata.Dataset is not { } dataset) return name + DataExtension;

        // The dataset lies in the same folder by rule; anything that leads elsewhere is a mistake or worse.
        if (dataset.Length == 0 || dataset is "." or ".." || dataset.AsSpan().ContainsAny(NotInNames))
        {
            throw new RecordingException(RecordingFailure.FieldWrong,
                $"{VisibleText.Whole(metadataPath)}: core:dataset is \"{VisibleText.Of(dataset)}\"; it must be the name of a file in the same folder, without a path. Correct it.");
        }

        return Path.Combine(Path.GetDirectoryName(metadataPath) ?? "", dataset);
    }
}
