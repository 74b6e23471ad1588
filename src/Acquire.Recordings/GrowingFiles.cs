using System.Globalization;
using Microsoft.Win32.SafeHandles;

namespace Acquire.Recordings;

/// <summary>A recording whose files stand under their names from the start, so that a killed process leaves a readable one.</summary>
/// <remarks>
/// Rule: scans after a gap or break reach the dataset only after metadata that says so. Until then they are held in memory; metadata is written anew
/// when as much is held as the metadata is long, so that many gaps cost no more than writing everything twice.
/// Metadata stands before its dataset does, and says that it is not ended: at every moment there is either nothing or something that can be read.
/// Nothing is written behind a place at which another program has cut the dataset short: the system would fill what is missing with zeros, which are codes as any others.
/// </remarks>
internal sealed class GrowingFiles : IRecordingFiles
{
    private readonly SafeFileHandle _handle;
    private readonly string _dataPath;
    private readonly string _metadataPath;
    private readonly string _folder;
    private readonly Action<Stream> _writeMetadata;
    private readonly MemoryStream _held = new();
    private readonly byte[] _buffer;
    private readonly bool _outlivesPowerCut;
    private int _buffered;
    private long _handedOn;
    private long _metadataBytes;
    private bool _segmentUnsaid;
    private bool _remarkUnsaid;
    private bool _ended;

    /// <summary>Begins both files; a recording of the same name is replaced at once.</summary>
    /// <param name="dataPath">Name of the dataset.</param>
    /// <param name="metadataPath">Name of the metadata.</param>
    /// <param name="bufferBytes">Bytes collected before they go to the system.</param>
    /// <param name="outlivesPowerCut">Whether the order on the disk is that of the calls.</param>
    /// <param name="writeMetadata">Writes metadata as it is by then.</param>
    public GrowingFiles(string dataPath, string metadataPath, int bufferBytes, bool outlivesPowerCut, Action<Stream> writeMetadata)
    {
        _dataPath = dataPath;
        _metadataPath = metadataPath;
        _folder = Path.GetDirectoryName(Path.GetFullPath(metadataPath)) ?? "";
        _writeMetadata = writeMetadata;
        _buffer = new byte[bufferBytes];
        _outlivesPowerCut = outlivesPowerCut;

        // The checks and the messages for a name that cannot be written are the same.
        AtomicFile.Create(dataPath, bufferBytes: 0).Dispose();

        // An older recording goes first: neither of its files may ever stand beside one of ours.
        File.Delete(metadataPath);
        File.Delete(dataPath);
        try
        {
            ReplaceMetadata();
            _handle = File.OpenHandle(dataPath, FileMode.Create, FileAccess.Write, FileShare.Read);
            if (_outlivesPowerCut) FolderEntries.Flush(_folder);
        }
        catch
        {
            // There may be room for one more file and not for two.
            if (_handle is not null)
            {
                _handle.Dispose();
                File.Delete(dataPath);
            }

            File.Delete(metadataPath);
            throw;
        }
    }

    // On Linux the kernel tells by which name an open file goes: of one that was removed or replaced it says so, of one that was renamed the new name.
    // Only the last part is compared, since a folder may be renamed under a name that is relative to it.
    public bool IsUnderItsName => File.Exists(_dataPath)
        && (!OperatingSystem.IsLinux() || NameNow() is not { } now || string.Equals(Path.GetFileName(now), Path.GetFileName(_dataPath), StringComparison.Ordinal));

    public void Write(ReadOnlySpan<byte> bytes)
    {
        if (!_segmentUnsaid)
        {
            Append(bytes);
            return;
        }

        _held.Write(bytes);
        if (_held.Length >= Math.Max(_metadataBytes, _buffer.Length)) Say();
    }

    public void SegmentBegun() => _segmentUnsaid = true;

    public void Remarked() => _remarkUnsaid = true;

    public void Flush(bool toDisk)
    {
        if (_segmentUnsaid || _remarkUnsaid) Say();
        HandOn(toDisk);
    }

    public void Complete()
    {
        // The hash, and that it is ended, are known only now.
        _remarkUnsaid = true;
        Flush(toDisk: true);
        _ended = true;
        _handle.Dispose();
    }

    public void Dispose()
    {
        if (_ended) return;
        _ended = true;
        try
        {
            Flush(toDisk: false);
        }
        catch (Exception e) when (WriteCure.IsRefusal(e))
        {
            // What is on the disk is a readable recording up to the last flush; a caller who wants more calls Complete.
        }

        _handle.Dispose();
    }

    private string? NameNow()
    {
        try
        {
            return new FileInfo(string.Create(CultureInfo.InvariantCulture, $"/proc/self/fd/{_handle.DangerousGetHandle()}")).LinkTarget;
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException)
        {
            // Nobody tells: there is no /proc here.
            return null;
        }
    }

    private void Say()
    {
        // What lies before the segment first: metadata never speaks of a segment whose place is not known yet.
        HandOn(_outlivesPowerCut);
        ReplaceMetadata();
        Append(_held.GetBuffer().AsSpan(0, (int)_held.Length));
        _held.SetLength(0);
        (_segmentUnsaid, _remarkUnsaid) = (false, false);
    }

    private void Append(ReadOnlySpan<byte> bytes)
    {
        if (bytes.Length > _buffer.Length - _buffered) HandOn(toDisk: false);
        if (bytes.Length >= _buffer.Length)
        {
            HandOn(bytes);
            return;
        }

        bytes.CopyTo(_buffer.AsSpan(_buffered));
        _buffered += bytes.Length;
    }

    private void HandOn(bool toDisk)
    {
        HandOn(_buffer.AsSpan(0, _buffered));
        _buffered = 0;
        if (toDisk) RandomAccess.FlushToDisk(_handle);
    }

    private void HandOn(ReadOnlySpan<byte> bytes)
    {
        if (RandomAccess.GetLength(_handle) is var length && length < _handedOn)
        {
            throw new RecordingException(RecordingFailure.Shrunk,
                $"{VisibleText.Whole(_dataPath)} has {length:N0} bytes left of {_handedOn:N0} that were written: another program cut it short meanwhile. What is left stays as it is; record where no other program writes.");
        }

        RandomAccess.Write(_handle, bytes, _handedOn);
        _handedOn += bytes.Length;
    }

    private void ReplaceMetadata()
    {
        using (AtomicFile metadata = AtomicFile.CreateByItsWriter(_metadataPath))
        {
            _writeMetadata(metadata.Stream);
            metadata.Stream.Flush();
            _metadataBytes = metadata.Stream.Length;
            metadata.Commit();
        }

        if (_outlivesPowerCut) FolderEntries.Flush(_folder);
    }
}
