namespace Acquire.Recordings;

/// <summary>The two files of a recording that is being written.</summary>
internal interface IRecordingFiles : IDisposable
{
    /// <summary>Whether what is written can be found under the name that it was begun with.</summary>
    bool IsUnderItsName { get; }

    /// <summary>Appends to the dataset.</summary>
    void Write(ReadOnlySpan<byte> bytes);

    /// <summary>A segment was begun: what is written from here on must not be found without the metadata that says so.</summary>
    void SegmentBegun();

    /// <summary>Metadata has more to say than when it was last written.</summary>
    void Remarked();

    /// <summary>Hands everything to the system, and on to the disk if asked.</summary>
    void Flush(bool toDisk);

    /// <summary>Ends both files.</summary>
    void Complete();
}
