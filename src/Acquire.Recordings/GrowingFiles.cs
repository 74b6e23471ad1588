using System.Globalization;
using Microsoft.Win32.SafeHandles;

namespace Acquire.Recordings;

/// <summary>A recording whose files stand under their names from the start, so that a killed process leaves a readable one.</summary>
/// <remarks>
/// Rule: scans after a gap or break reach the dataset only after metadata that says so. Until then they are held in memory; metadata is written anew
/// when as much is held as the metadata is long, so that many gaps cost no more than writing everything twice.
/// Metadata stands before its dataset does, and says that it is not ended: at every moment there is either nothing or something that can be read.
/// </remarks>
internal sealed class GrowingFiles : IRecordingFiles
{
    private readonly FileStream _data;
    private readonly SafeFileHandle _handle;
    private readonly string _dataPath;
    private readonly string _metadataPath;
    private readonly string _folder;
    private readonly Action<Stream> _writeMetadata;
    private readonly MemoryStream _held = new();
    private readonly int _bufferBytes;
    private readonly bool _outlivesPowerCut;
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
        _bufferBytes = bufferBytes;
        _outlivesPowerCut = outlivesPowerCut;

        // The checks and the messages for a name that cannot be written are the same.
        AtomicFile.Create(dataPath, bufferBytes: 0).Dispose();

        // An older recording goes first: neither of its files may ever stand beside one of ours.
        File.Delete(metadataPath);
        File.Delete(dataPath);
        ReplaceMetadata();
        try
        {
            // Its own handle, since asking the stream for one makes it ask the system for its place at each write.
            _handle = File.OpenHandle(dataPath, FileMode.Create, FileAccess.Write, FileShare.Read);
        }
        catch
        {
            // There may be room for one more file and not for two.
            File.Delete(metadataPath);
            throw;
        }

        _data = new FileStream(_handle, FileAccess.Write, bufferBytes);
        if (_outlivesPowerCut) FolderEntries.Flush(_folder);
    }

    // On Linux the kernel tells by which name an open file goes: of one that was removed or replaced it says so, of one that was renamed the new name.
    // Only the last part is compared, since a folder may be renamed under a name that is relative to it.
    public bool IsUnderItsName => File.Exists(_dataPath)
        && (!OperatingSystem.IsLinux() || NameNow() is not { } now || string.Equals(Path.GetFileName(now), Path.GetFileName(_dataPath), StringComparison.Ordinal));

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

    public void Remarked() => _remarkUnsaid = true;

    public void Flush(bool toDisk)
    {
        if (_segmentUnsaid || _remarkUnsaid) Say();
        _data.Flush(toDisk);
    }

    public void Complete()
    {
        // The hash, and that it is ended, are known only now.
        _remarkUnsaid = true;
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
            Flush(toDisk: false);
        }
        catch (Exception e) when (WriteCure.IsRefusal(e))
        {
            // What is on the disk is a readable recording up to the last flush; a caller who wants more calls Complete.
        }

        try
        {
            _data.Dispose();
        }
        catch (Exception e) when (WriteCure.IsRefusal(e))
        {
            // As above: the stream may try to write what it still holds.
        }
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
        _data.Flush(_outlivesPowerCut);
        ReplaceMetadata();
        (_segmentUnsaid, _remarkUnsaid) = (false, false);
        _data.Write(_held.GetBuffer(), 0, (int)_held.Length);
        _held.SetLength(0);
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
