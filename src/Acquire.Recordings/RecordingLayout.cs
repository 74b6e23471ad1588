using Acquire.Capture;
using Acquire.Recordings.Words;
using Acquire.Scales;

namespace Acquire.Recordings;

/// <summary>Where in a file the scans lie and what is known about them; the same for every kind of file.</summary>
internal sealed class RecordingLayout
{
    /// <summary>Name of the recording, without the file's extension.</summary>
    public required string Name { get; init; }

    /// <summary>File that holds the scans.</summary>
    public required string DataPath { get; init; }

    /// <summary>File that says what the scans are, or null where <see cref="DataPath"/> does.</summary>
    public string? MetadataPath { get; init; }

    public required WordFormat Word { get; init; }

    public required int Channels { get; init; }

    public required IReadOnlyList<Segment> Segments { get; init; }

    public double? ScanRateHz { get; init; }

    /// <summary>Bits of a code as the recording states them, or null.</summary>
    public int? Bits { get; init; }

    /// <summary>Whether the kind of file says what full scale is of words wider than a code, so that their highest bits are the code; otherwise the words' own range has to be found.</summary>
    public bool HasFullScale { get; init; }

    public long LostAtEnd { get; init; }

    public GapCause LostAtEndCause { get; init; } = GapCause.File;

    /// <summary>Index of the first scan in the stream that was recorded.</summary>
    public long FirstIndex { get; init; }

    public string? Sha512 { get; init; }

    public string? Description { get; init; }

    public string? Author { get; init; }

    public string? Hardware { get; init; }

    public DateTimeOffset? Started { get; init; }

    public IReadOnlyList<RecordingAnnotation> Annotations { get; init; } = [];

    public List<string> Notes { get; init; } = [];

    /// <summary>Whether the recording was begun and not ended.</summary>
    public bool Growing { get; init; }

    /// <summary>Whether the dataset ends within a scan or before the metadata says so.</summary>
    public bool Truncated { get; init; }
}
