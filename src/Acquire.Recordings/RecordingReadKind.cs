namespace Acquire.Recordings;

/// <summary>What one call of <see cref="RecordingReader.Read"/> found.</summary>
public enum RecordingReadKind
{
    /// <summary>Nothing more.</summary>
    End,

    /// <summary>Scans were copied.</summary>
    Scans,

    /// <summary>A known number of scans is missing here.</summary>
    Gap,

    /// <summary>An unknown number of scans is missing here.</summary>
    Break,
}
