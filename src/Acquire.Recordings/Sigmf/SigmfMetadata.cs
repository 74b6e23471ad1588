namespace Acquire.Recordings.Sigmf;

/// <summary>What the metadata file says, as far as it is used here.</summary>
internal sealed class SigmfMetadata
{
    public string? Datatype { get; set; }

    public string? Version { get; set; }

    public double? SampleRate { get; set; }

    public long Channels { get; set; } = 1;

    public long Offset { get; set; }

    public long TrailingBytes { get; set; }

    public string? Dataset { get; set; }

    public bool MetadataOnly { get; set; }

    public string? Sha512 { get; set; }

    public string? Description { get; set; }

    public string? Author { get; set; }

    public string? Hardware { get; set; }

    public string? Recorder { get; set; }

    /// <summary>Our own field: bits of one code.</summary>
    public int? Bits { get; set; }

    /// <summary>Our own field: the recording was begun and not ended.</summary>
    public bool Growing { get; set; }

    /// <summary>Our own field: scans lost after the last one in the file.</summary>
    public long LostAtEnd { get; set; }

    /// <summary>Why scans were lost after the last one in the file.</summary>
    public Capture.GapCause? LostAtEndCause { get; set; }

    public List<SigmfCapture> Captures { get; } = [];

    public List<RecordingAnnotation> Annotations { get; } = [];

    public List<string> Notes { get; } = [];

    /// <summary>Whether the dataset ends before the metadata says so, or within a scan; known once the segments are planned.</summary>
    public bool Truncated { get; set; }
}
