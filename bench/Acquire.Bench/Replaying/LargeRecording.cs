using Acquire.Bench.Speed;
using Acquire.Recordings;

namespace Acquire.Bench.Replaying;

/// <summary>A recording of any size in a folder of its own, which goes when this is disposed.</summary>
internal sealed class LargeRecording : IDisposable
{
    private readonly string _folder;

    /// <summary>Writes a recording of 12-bit codes, two channels, 20 scans a column.</summary>
    /// <param name="parent">Folder in which a folder is made.</param>
    /// <param name="megabytes">Size of its scans in MiB.</param>
    /// <exception cref="IOException">There is no room for it.</exception>
    public LargeRecording(string parent, int megabytes)
    {
        long bytes = (long)megabytes << 20, room = new DriveInfo(Path.GetFullPath(parent)).AvailableFreeSpace;
        if (room < bytes + (bytes / 4)) throw new IOException($"{parent} has room for {room >> 20} MiB and {megabytes} MiB are wanted; give a smaller size or another folder.");
        _folder = Directory.CreateDirectory(Path.Combine(parent, "replay-speed-" + Guid.NewGuid().ToString("N"))).FullName;
        try
        {
            Write(bytes);
        }
        catch
        {
            Dispose();
            throw;
        }
    }

    /// <summary>The recording as the command takes it.</summary>
    public string Name => Path.Combine(_folder, "long");

    /// <summary>The file that holds its scans.</summary>
    public string DataPath => Name + ".sigmf-data";

    /// <summary>Where results may be written; goes with the recording.</summary>
    public string PathOf(string result) => Path.Combine(_folder, result);

    public void Dispose() => Directory.Delete(_folder, recursive: true);

    private void Write(long bytes)
    {
        ushort[] words = SpeedWords.Fill(scansPerColumn: 20, Math.Min(bytes, SpeedWords.PeriodBytes(scansPerColumn: 20)));
        using RecordingWriter writer = new(Name, new RecordingWriterOptions { ChannelCount = 2, Bits = 12, ScanRateHz = 1_000_000 });
        for (long left = bytes / sizeof(ushort); left > 0; left -= words.Length)
            writer.Write(words.AsSpan(0, (int)Math.Min(left, words.Length)));
        writer.Complete();
    }
}
