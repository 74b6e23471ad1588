using Acquire.Capture;
using Acquire.Recordings;

namespace Acquire.Sources.Recording;

/// <content>The recordings themselves: how one begins, is added to and ends.</content>
public sealed partial class CaptureRecorder
{
    private CapturedRecording UnderWay(RecordingWriter writer) => new(_name!, _firstPosition, writer.ScanCount);

    private void Next()
    {
        if (_writer is not null) End();
        _ending.GetAwaiter().GetResult();

        // Until both of its files are there, another capture that begins just now would find the name free as well.
        using FolderClaim claim = FolderClaim.On(_names.First);
        _name = _names.Next();
        OtherCapture.Refuse(_name);
        _otherScans = false;
        string setup = SetupFile.NameBeside(_name);
        byte[]? before = BytesOf(setup);
        SaveSetup(_description);
        try
        {
            _writer = Begin();
        }
        catch
        {
            PutBack(setup, before);
            throw;
        }

        _firstPosition = _segmentPosition = Position;
        _recordingBegan = _clock.GetTimestamp();
        _notes.Begin();
    }

    private RecordingWriter Begin() => new(_name!, new RecordingWriterOptions
    {
        ChannelCount = _description.Scan.ChannelCount,
        Bits = _description.Scan.Bits,
        ScanRateHz = RateOf(_description),
        Started = _clock.GetUtcNow(),
        Description = _options.Description,
        Hardware = HardwareOf(_description),
        GrowInPlace = true,
        OutlivesPowerCut = _options.Sync,
        FirstIndex = Position,
    });

    // Beside a recording that could not begin no setup of its own may stay, and beside an older one of that name, which stands as it was, only that one's.
    private static void PutBack(string setup, byte[]? before)
    {
        try
        {
            if (before is null) File.Delete(setup);
            else AtomicFile.WriteAllBytes(setup, before);
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException)
        {
            // That nothing can be written there is being said already.
        }
    }

    // Pipes and devices say 0 bytes, and a pipe would wait for a writer.
    private static byte[]? BytesOf(string setup)
    {
        try
        {
            return new FileInfo(setup) is { Exists: true, Length: > 0 } ? File.ReadAllBytes(setup) : null;
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException)
        {
            // Whether it may be replaced is told when it is.
            return null;
        }
    }

    // One came to listen while the device was speaking: what it says of itself only now holds for what it sent before.
    private void Add(StreamDescription description)
    {
        SaveSetup(description);
        _writer!.State(RateOf(description), HardwareOf(description));
    }

    private void SaveSetup(StreamDescription description) =>
        SetupFile.Save(SetupFile.NameBeside(_name!), (_options.Setup ?? StreamSetup.Of)(description));

    private static double? RateOf(StreamDescription description) => description.Scan.ScanRateHz is >= 1 and <= 1e12 and var rate ? rate : null;

    private static string? HardwareOf(StreamDescription description) => description.Device.Length == 0 ? null : CaptureNotes.Fit(description.Device);

    private void End()
    {
        RecordingWriter ended = _writer!;
        _writer = null;
        _ended.Add(UnderWay(ended));
        try
        {
            ended.Flush(_options.Sync);
        }
        catch
        {
            ended.Dispose();
            throw;
        }

        // Everything is with the system by now, so nothing is at stake; waiting for the disk would keep the scans that come meanwhile from it.
        _ending = Task.Run(() =>
        {
            using (ended) ended.Complete();
        });
    }

    private RecordingException Vanished() => new(RecordingFailure.NotWritable,
        $"{_name}.sigmf-data is gone: it or its folder was removed, renamed or replaced while it was recorded. What was written is where it was moved to, if anywhere. Record to a folder that stays.");
}
