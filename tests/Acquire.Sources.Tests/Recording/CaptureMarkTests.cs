using Acquire.Capture;
using Acquire.Recordings;
using Acquire.Sources.Recording;
using Acquire.Sources.Tests.Doubles;

namespace Acquire.Sources.Tests.Recording;

/// <summary>For which scans a capture says that an auxiliary word of the device holds.</summary>
public sealed class CaptureMarkTests : IDisposable
{
    private static readonly StreamDescription First = new() { Scan = new ScanFormat { Bits = 16 } }, Second = new() { Scan = new ScanFormat { Bits = 14 } };

    private readonly RecordingFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    // Behind a break stands another run, perhaps of a device that was switched off meanwhile: what it has not said does not hold.
    [Fact]
    public void Break_WordSaidBefore_IsSaidOfNoScanBehind()
    {
        Record(recorder =>
        {
            recorder.Take(NumberedScans.From(0, 10));
            recorder.Mark(10, 7);
            recorder.Break(GapCause.Reset, 0);
            recorder.Take(NumberedScans.From(10, 5));
        });

        Assert.Empty(Marks("x"));
    }

    [Fact]
    public void Break_SameWordSaidAnew_IsKept()
    {
        Record(recorder =>
        {
            recorder.Mark(0, 7);
            recorder.Take(NumberedScans.From(0, 10));
            recorder.Mark(10, 7);
            recorder.Break(GapCause.Reset, 0);
            recorder.Take(NumberedScans.From(10, 5));
            recorder.Mark(15, 7);
            recorder.Take(NumberedScans.From(15, 5));
        });

        Assert.Equal([(0L, 7), (15, 7)], Marks("x"));
    }

    [Theory]
    [InlineData(false, 1)]
    [InlineData(true, 0)]
    public void NextRecording_WordThatHolds_IsSaidAgainUnlessABreakStandsBetween(bool breaks, int marks)
    {
        Record(recorder =>
        {
            recorder.Mark(0, 7);
            recorder.Take(NumberedScans.From(0, 10));
            if (breaks) recorder.Break(GapCause.Reset, 0);
            recorder.Describe(Second);
            recorder.Take(NumberedScans.From(10, 5));
        });

        Assert.Equal([(0L, 7)], Marks("x"));
        Assert.Equal(marks, Marks("x-0002").Length);
    }

    private void Record(Action<CaptureRecorder> record)
    {
        using CaptureRecorder recorder = new(_folder.File("x"));
        recorder.Describe(First);
        record(recorder);
        recorder.Complete();
    }

    private (long Scan, int Word)[] Marks(string name)
    {
        using RecordingReader reader = RecordingReader.Open(_folder.File(name));
        return [.. reader.Annotations.Where(note => note.Mark is not null).Select(note => (note.StartScan, (int)note.Mark!.Value))];
    }
}
