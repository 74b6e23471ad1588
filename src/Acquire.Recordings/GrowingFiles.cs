namespace Acquire.Recordings;

/// <summary>A recording whose files stand under their names from the first scan on, so that a killed process leaves a readable one.</summary>
/// <remarks>
/// Rule: scans after a gap or break reach the dataset only after metadata that says so. Until then they are held in memory; metadata is written anew
/// when as much is held as the metadata is long, so that many gaps cost no more than writing everything twice.
/// </remarks>
internal sealed class GrowingFiles : IRecordingFiles
{
    private readonly FileStream _data;
    private readonly string _metadataPath;
    private readonly Action<Stream> _writeMetadata;
    private readonly MemoryStream _held = new();
    private readonly int _bufferBytes;
    private long _metadataBytes;
    private bool _segmentUnsaid;
    private bool _ended;

    /// <summary>Begins both files; a recording of the same name is replaced at once.</summary>
    /// <param name="dataPath">Name of the dataset.</param>
    /// <param name="metadataPath">Name of the metadata.</param>
    /// <param name="bufferBytes">Bytes collected before they go to the system.</param>
    /// <param name="writeMetadata">Writes metadata as it is by then.</param>
    public GrowingFiles(string dataPath, string metadataPath, int bufferBytes, Action<Stream> writeMetadata)
    {
        // The checks and the messages for a name that cannot be written are the same.
        AtomicFile.Create(dataPath, bufferBytes: 0).Dispose();
        File.Delete(metadataPath);
        _data = new FileStream(dataPath, FileMode.Create, FileAccess.Write, FileShare.Read, bufferBytes);
        _metadataPath = metadataPath;
        _writeMetadata = writeMetadata;
        _bufferBytes = bufferBytes;
    }

    public void Write(ReadOnlySpan<byte> bytes)
    {
        if (!_segmentUnsaid)
        {
            _data.Write(bytes);
            return;
        }

        _held.Write(bytes);
        if (_held.Length >= Math.Max(_metadataBytes, _bufferBytes)) Say();
    }

    public void SegmentBegun() => _segmentUnsaid = true;

    public void Flush(bool toDisk)
    {
        if (_segmentUnsaid) Say();
        _data.Flush(toDisk);
    }

    public void Complete()
    {
        // Annotations and the hash are known only now.
        _segmentUnsaid = true;
        Flush(toDisk: true);
        _ended = true;
        _data.Dispose();
    }

    public void Dispose()
    {
        if (_ended) return;
        _ended = true;
        try
        {
            _segmentUnsaid = true;
            Flush(toDisk: false);
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException)
        {
            // What is on the disk is a readable recording up to the last flush; a caller who wants more calls Complete.
        }

        try
        {
            _data.Dispose();
        }
        catch (IOException)
        {
            // As above: the stream may try to write what it still holds.
        }
    }

    private void Say()
    {
        // What lies before the segment first: metadata never speaks of a segment whose place is not known yet.
        _data.Flush();
        using (AtomicFile metadata = AtomicFile.Create(_metadataPath))
        {
            _writeMetadata(metadata.Stream);
            metadata.Stream.Flush();
            _metadataBytes = metadata.Stream.Length;
            metadata.Commit();
        }

        _segmentUnsaid = false;
        _data.Write(_held.GetBuffer(), 0, (int)_held.Length);
        _held.SetLength(0);
    }
}
