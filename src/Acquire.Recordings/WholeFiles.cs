namespace Acquire.Recordings;

/// <summary>A recording whose files appear under their names when they are whole.</summary>
internal sealed class WholeFiles : IRecordingFiles
{
    private readonly AtomicFile _data;
    private readonly string _metadataPath;
    private readonly Action<Stream> _writeMetadata;

    /// <summary>Begins the dataset beside its name.</summary>
    /// <param name="dataPath">Name of the dataset.</param>
    /// <param name="metadataPath">Name of the metadata.</param>
    /// <param name="bufferBytes">Bytes collected before they go to the system.</param>
    /// <param name="writeMetadata">Writes metadata as it is by then.</param>
    public WholeFiles(string dataPath, string metadataPath, int bufferBytes, Action<Stream> writeMetadata)
    {
        _data = AtomicFile.Create(dataPath, bufferBytes);
        _metadataPath = metadataPath;
        _writeMetadata = writeMetadata;
    }

    // It gets its name at the end.
    public bool IsUnderItsName => true;

    public void Write(ReadOnlySpan<byte> bytes) => _data.Stream.Write(bytes);

    public void SegmentBegun()
    {
        // Metadata and data get their names together.
    }

    public void Remarked()
    {
        // As above.
    }

    public void Flush(bool toDisk) => _data.Stream.Flush();

    public void Complete()
    {
        // Metadata first: what refuses it, a folder of that name or a full disk, leaves the dataset open, and the call may be repeated.
        using AtomicFile metadata = AtomicFile.Create(_metadataPath);
        _writeMetadata(metadata.Stream);
        metadata.Close();
        _data.Close();

        // Old metadata goes first: a crash in between may leave a dataset alone, never one with another's metadata.
        File.Delete(_metadataPath);
        _data.Rename();
        metadata.Rename();
    }

    public void Dispose() => _data.Dispose();
}
