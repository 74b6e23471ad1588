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

    // A folder takes the dataset's name in the instant between the choice of the name and the beginning of the recording.
    [Fact]
    public void Next_RecordingThatCannotBegin_LeavesNoSetupOfItsOwn()
    {
        CaptureOptions options = new()
        {
            Rotation = new CaptureRotation { MostBytes = 40 },
            Setup = description =>
            {
                if (File.Exists(_folder.File("x-0001.sigmf-data"))) Directory.CreateDirectory(_folder.File("x-0002.sigmf-data"));
                return StreamSetup.Of(description);
            },
        };
        using CaptureRecorder recorder = new(_folder.File("x"), options);
        recorder.Describe(Two);

        Assert.Contains("folder", Assert.ThrowsAny<IOException>(() => recorder.Take(NumberedScans.From(0, 20))).Message, StringComparison.Ordinal);

        recorder.Dispose();
        Assert.Equal(["x-0001.setup.json", "x-0001.sigmf-data", "x-0001.sigmf-meta", "x-0002.sigmf-data"], _folder.Names);
    }

    [Fact]
    public void Begin_RecordingThatCannotBegin_LeavesTheSetupOfTheOlderOne()
    {
        Record(options: null, recorder => recorder.Take(NumberedScans.From(0, 10)));
        byte[] before = File.ReadAllBytes(_folder.File("x.setup.json"));
        using CaptureRecorder recorder = new(_folder.File("x"), new CaptureOptions
        {
            Setup = description =>
            {
                File.Move(_folder.File("x.sigmf-data"), _folder.File("moved"));
                Directory.CreateDirectory(_folder.File("x.sigmf-data"));
                return StreamSetup.Of(description);
            },
        });
        recorder.Describe(Three);

        Assert.ThrowsAny<IOException>(() => recorder.Take([1, 2, 3]));

        Assert.Equal(before, File.ReadAllBytes(_folder.File("x.setup.json")));
    }

    [Fact]
    public void Flush_DatasetCutShortMeanwhile_EndsItAndKeepsNoScanThatNeverCame()
    {
        Assert.SkipUnless(OperatingSystem.IsLinux(), "Elsewhere nobody else may write into an open dataset.");
        using CaptureRecorder recorder = new(_folder.File("x"));
        recorder.Describe(Two);
        recorder.Take(NumberedScans.From(0, 1_000));
        recorder.Flush();
        Cut(_folder.File("x.sigmf-data"), bytes: 400);
        recorder.Take(NumberedScans.From(1_000, 1_000));

        RecordingException refused = Assert.Throws<RecordingException>(recorder.Flush);
        Assert.Equal(RecordingFailure.Shrunk, refused.Failure);
        Assert.Contains("400 bytes", refused.Message, StringComparison.Ordinal);

        recorder.Dispose();
        using RecordingReader reader = RecordingReader.Open(_folder.File("x"));
        ushort[] scans = new ushort[2 * 100];
        Assert.Equal((100, 100), (reader.ScanCount, reader.Read(scans).Scans));
        Assert.Equal(NumberedScans.From(0, 100), scans);
    }

    [Fact]
    public void Flush_DatasetReplacedMeanwhile_EndsItAndNamesNoRecordingOfAnother()
    {
        Assert.SkipUnless(OperatingSystem.IsLinux(), "The kernel tells the name of an open file on Linux only.");
        using CaptureRecorder recorder = new(_folder.File("x"));
        recorder.Describe(Two);
        recorder.Take(NumberedScans.From(0, 10));
        recorder.Flush();
        File.Move(_folder.File("x.sigmf-data"), _folder.File("kept.sigmf-data"));
        File.WriteAllBytes(_folder.File("x.sigmf-data"), [1, 2, 3, 4]);
        recorder.Take(NumberedScans.From(10, 10));

        Assert.Contains("x.sigmf-data is gone", Assert.Throws<RecordingException>(recorder.Flush).Message, StringComparison.Ordinal);
        Assert.Empty(recorder.Recordings);
        recorder.Dispose();
        Assert.Empty(recorder.Recordings);
        Assert.Equal(4, new FileInfo(_folder.File("x.sigmf-data")).Length);
        Assert.Equal(20 * 4, new FileInfo(_folder.File("kept.sigmf-data")).Length);
    }

    [Fact]
    public void Begin_SeveralAtOnce_OneRecordsAndTheOthersAreRefused()
    {
        if (!OperatingSystem.IsLinux()) Assert.Skip("Folders are held on Linux only.");
        const int captures = 3;
        for (int round = 0; round < 40; round++)
        {
            string name = _folder.File($"x{round}");
            if (round % 2 == 1) RecordAs(name, 1);
            using Barrier start = new(captures);
            CaptureRecorder[] recorders = [.. Enumerable.Range(0, captures).Select(_ => new CaptureRecorder(name))];
            bool[] refused = new bool[captures];
            Thread[] threads = [.. Enumerable.Range(0, captures).Select(i => new Thread(() =>
            {
                recorders[i].Describe(Two);
                start.SignalAndWait();
                try
                {
                    recorders[i].Take(NumberedScans.From(0, 10 + i));
                }
                catch (RecordingException)
                {
                    refused[i] = true;
                }
            }))];

            foreach (Thread thread in threads) thread.Start();
            foreach (Thread thread in threads) thread.Join();

            int recording = Array.IndexOf(refused, false);
            Assert.Equal(captures - 1, refused.Count(r => r));
            recorders[recording].Complete();
            foreach (CaptureRecorder recorder in recorders) recorder.Dispose();
            using RecordingReader reader = RecordingReader.Open(name);
            Assert.Equal((10 + recording, false), (reader.ScanCount, reader.IsUnfinished));
        }
    }

    [Fact]
    public void Next_SeveralRotateAtOnce_EachHasItsOwnNumbers()
    {
        if (!OperatingSystem.IsLinux()) Assert.Skip("Folders are held on Linux only.");
        const int captures = 3, each = 20;
        using Barrier start = new(captures);
        CaptureRecorder[] recorders = [.. Enumerable.Range(0, captures)
            .Select(_ => new CaptureRecorder(_folder.File("x"), new CaptureOptions { Rotation = new CaptureRotation { MostBytes = 40 } }))];
        List<Exception> failures = [];
        Thread[] threads = [.. recorders.Select(recorder => new Thread(() =>
        {
            recorder.Describe(Two);
            start.SignalAndWait();
            try
            {
                recorder.Take(NumberedScans.From(0, 10 * each));
                recorder.Complete();
            }
            catch (IOException exception)
            {
                lock (failures) failures.Add(exception);
            }
        }))];

        foreach (Thread thread in threads) thread.Start();
        foreach (Thread thread in threads) thread.Join();

        Assert.Empty(failures);
        string[] names = [.. recorders.SelectMany(recorder => recorder.Recordings).Select(recording => recording.Name)];
        Assert.Equal(captures * each, names.Distinct(StringComparer.Ordinal).Count());
        foreach (CaptureRecorder recorder in recorders) recorder.Dispose();
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

    private static void RecordAs(string name, int scans)
    {
        using CaptureRecorder recorder = new(name);
        recorder.Describe(Two);
        recorder.Take(NumberedScans.From(0, scans));
        recorder.Complete();
    }

    private IReadOnlyList<CapturedRecording> Record(CaptureOptions? options, Action<CaptureRecorder> take)
    {
        using CaptureRecorder recorder = new(_folder.File("x"), options);
        recorder.Describe(Two);
        take(recorder);
        recorder.Complete();
        return recorder.Recordings;
    }

    private static void Cut(string path, long bytes)
    {
        using FileStream other = new(path, FileMode.Open, FileAccess.Write, FileShare.ReadWrite);
        other.SetLength(bytes);
    }
}
