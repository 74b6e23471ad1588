using Acquire.Capture;
using Acquire.Recordings;
using Acquire.Sources.Recording;
using Acquire.Sources.Tests.Doubles;

namespace Acquire.Sources.Tests.Recording;

/// <summary>What a capture replaces: the recording of its own name, and no other.</summary>
public sealed class CaptureReplacingTests : IDisposable
{
    private static readonly StreamDescription Two = new() { Scan = new ScanFormat { Bits = 16 }, Device = "two" };

    private static readonly StreamDescription Three = new()
    {
        Scan = new ScanFormat { Bits = 16, Roles = [ChannelRole.Ramp, ChannelRole.Vertical, ChannelRole.Auxiliary] },
        Device = "three",
    };

    private readonly RecordingFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    [Fact]
    public void Next_NumberOfAnEarlierCapture_IsPassedOver()
    {
        Record(new CaptureOptions { Rotation = new CaptureRotation { MostBytes = 40 } }, recorder => recorder.Take(NumberedScans.From(0, 25)));
        byte[] before = File.ReadAllBytes(_folder.File("x-0002.sigmf-data"));

        IReadOnlyList<CapturedRecording> recordings = Record(options: null, recorder =>
        {
            recorder.Take(NumberedScans.From(0, 5));
            recorder.Describe(Three);
            recorder.Take([1, 2, 3]);
        });

        Assert.Equal(["x", "x-0004"], recordings.Select(recording => Path.GetFileName(recording.Name)));
        Assert.Equal(before, File.ReadAllBytes(_folder.File("x-0002.sigmf-data")));
    }

    [Fact]
    public void Next_NumberThatAnotherCaptureTookMeanwhile_IsPassedOver()
    {
        CaptureOptions options = new() { Rotation = new CaptureRotation { MostBytes = 40 } };
        IReadOnlyList<CapturedRecording> recordings = Record(options, recorder =>
        {
            recorder.Take(NumberedScans.From(0, 10));
            Record(options, other => other.Take(NumberedScans.From(0, 10)));
            recorder.Take(NumberedScans.From(10, 10));
        });

        Assert.Equal(["x-0001", "x-0003"], recordings.Select(recording => Path.GetFileName(recording.Name)));
    }

    [Fact]
    public void Begin_WhereAnotherCaptureRecords_IsRefusedAndThatOneStays()
    {
        using CaptureRecorder first = new(_folder.File("x")), early = new(_folder.File("x"));
        first.Describe(Two);
        first.Take(NumberedScans.From(0, 10));
        early.Describe(Three);

        Assert.Contains("another program", Assert.Throws<RecordingException>(() => early.Take([1, 2, 3])).Message, StringComparison.Ordinal);
        Assert.Contains("another program", Assert.Throws<RecordingException>(() => new CaptureRecorder(_folder.File("x"))).Message, StringComparison.Ordinal);

        first.Take(NumberedScans.From(10, 10));
        first.Complete();
        using RecordingReader reader = RecordingReader.Open(_folder.File("x"));
        Assert.Equal((20, 2), (reader.ScanCount, SetupFile.Load(_folder.File("x.setup.json")).Scan.ChannelCount));
    }

    [Fact]
    public void Begin_WhereACaptureWasKilled_ReplacesWhatItLeft()
    {
        using (CaptureRecorder killed = new(_folder.File("x")))
        {
            killed.Describe(Two);
            killed.Take(NumberedScans.From(0, 10));
        }

        Record(options: null, recorder => recorder.Take(NumberedScans.From(0, 3)));

        using RecordingReader reader = RecordingReader.Open(_folder.File("x"));
        Assert.Equal(3, reader.ScanCount);
    }

    private IReadOnlyList<CapturedRecording> Record(CaptureOptions? options, Action<CaptureRecorder> take)
    {
        using CaptureRecorder recorder = new(_folder.File("x"), options);
        recorder.Describe(Two);
        take(recorder);
        recorder.Complete();
        return recorder.Recordings;
    }
}
