using Acquire.Capture;
using Acquire.Recordings;
using Acquire.Scales;
using Acquire.Sources.Recording;
using Acquire.Sources.Tests.Doubles;
using CsCheck;

namespace Acquire.Sources.Tests.Recording;

public sealed class CaptureRecorderTests : IDisposable
{
    private static readonly StreamDescription Described = new()
    {
        Scan = new ScanFormat { Bits = 16, ScanRateHz = 1_000 },
        Device = "bench",
    };

    private readonly RecordingFolder _folder = new();
    private readonly ManualClock _clock = new();

    public void Dispose() => _folder.Dispose();

    private CaptureRecorder Begin(CaptureOptions? options = null)
    {
        var recorder = new CaptureRecorder(_folder.File("x"), options, _clock);
        recorder.Describe(Described);
        return recorder;
    }

    // Another recording would begin that nobody ends.
    [Fact]
    public void Take_AfterTheEnd_IsRefusedAndWritesNothing()
    {
        using CaptureRecorder completed = Begin();
        completed.Take(NumberedScans.From(0, 10));
        completed.Complete();
        string[] names = [.. _folder.Names];

        Assert.Throws<InvalidOperationException>(() => completed.Take(NumberedScans.From(10, 1)));
        completed.Dispose();
        Assert.Throws<InvalidOperationException>(() => completed.Take(NumberedScans.From(10, 1)));

        Assert.Equal(names, _folder.Names);
    }

    [Fact]
    public void Recordings_DisposedWithoutComplete_StillNameTheOneThatWasKept()
    {
        CaptureRecorder recorder = Begin();
        recorder.Take(NumberedScans.From(0, 10));

        recorder.Dispose();

        Assert.Equal(new CapturedRecording(_folder.File("x"), 0, 10), Assert.Single(recorder.Recordings));
    }

    [Fact]
    public void Complete_RecordingSetupAndNotesAreThere()
    {
        using (CaptureRecorder recorder = Begin())
        {
            recorder.Take(NumberedScans.From(0, 10));
            recorder.Skip(5, GapCause.Overrun);
            recorder.Take(NumberedScans.From(15, 3));
            recorder.Mark(16, 7);
            recorder.Say("hello \u001b[2J");
            recorder.Break(GapCause.Reset, 4);
            recorder.Take(NumberedScans.From(18, 1));
            recorder.Complete();
            Assert.Equal((14, 9, 1, 1), (recorder.Scans, recorder.LostScans, recorder.Gaps, recorder.Breaks));
        }

        using RecordingReader reader = RecordingReader.Open(_folder.File("x"));
        Assert.False(reader.IsUnfinished);
        Assert.Equal(14, reader.ScanCount);
        Assert.Equal("bench", reader.Hardware);
        Assert.Equal(
            ["10 gap 5 scans are missing before this one: overrun of the device.", "11 mark Auxiliary word 7 (0x0007) from here on.",
                "13 device hello \u001b[2J", "13 break At least 4 scans are missing before this one: the device started anew."],
            reader.Annotations.Select(note => $"{note.StartScan} {note.Label} {note.Comment}"));
        Assert.Equal(16, SetupFile.Load(_folder.File("x.setup.json")).Scan.Bits);
        Assert.DoesNotContain('\u001b', File.ReadAllText(_folder.File("x.sigmf-meta")));
    }

    [Fact]
    public void FirstScans_AreWithTheSystemAtOnce()
    {
        using CaptureRecorder recorder = Begin();
        recorder.Take(NumberedScans.From(0, 1));

        using RecordingReader reader = _folder.OpenAsKilled("x");
        Assert.Equal(1, reader.ScanCount);
    }

    // The promise: rate x flush interval, and one call.
    [Fact]
    public void KilledAtAnyMoment_LacksAtMostOneIntervalAndOneCall_AndNoScanIsWrong() =>
        Gen.Select(Gen.Int[0, 9], Gen.Int[1, 700]).List[1, 60].Sample(steps =>
        {
            using var folder = new RecordingFolder();
            var clock = new ManualClock();
            using var recorder = new CaptureRecorder(folder.File("x"), clock: clock);
            recorder.Describe(Described);
            foreach ((int kind, int count) in steps)
            {
                if (kind == 0)
                {
                    recorder.Skip(count, GapCause.Link);
                    continue;
                }

                // A thousand scans a second come as they are read.
                clock.Advance(TimeSpan.FromMilliseconds(count));
                recorder.Take(NumberedScans.From(recorder.Position, count));
                using RecordingReader reader = folder.OpenAsKilled("x");
                long end = NumberedScans.AssertInPlace(reader);
                if (recorder.Scans - reader.ScanCount > 1_000 + count) return false;
                if (end > recorder.Position) return false;
            }

            return true;
        }, iter: 40);

    // Held back on their way, scans come in one go: no time passes, and still not more than a quarter of an interval waits.
    [Fact]
    public void Take_FasterThanTheRate_FlushesByNumber()
    {
        using CaptureRecorder recorder = Begin();
        recorder.Skip(3, GapCause.Link);
        for (int i = 0; i < 50; i++)
        {
            recorder.Take(NumberedScans.From(recorder.Position, 100));
            recorder.Skip(1, GapCause.Link);
            using RecordingReader reader = _folder.OpenAsKilled("x");
            Assert.InRange(recorder.Scans - reader.ScanCount, 0, 250 + 100);
        }
    }

    [Fact]
    public void Tick_WhenNothingComes_FlushesWhatCame()
    {
        using CaptureRecorder recorder = Begin();
        recorder.Take(NumberedScans.From(0, 1));
        recorder.Take(NumberedScans.From(1, 1));
        recorder.Say("waiting");
        _clock.Advance(TimeSpan.FromMilliseconds(500));
        recorder.Tick();

        using RecordingReader reader = _folder.OpenAsKilled("x");
        Assert.Equal(2, reader.ScanCount);
        Assert.Equal("waiting", Assert.Single(reader.Annotations).Comment);
    }

    [Fact]
    public void Rotation_BySize_CutsAtTheScanAndLosesNone()
    {
        using (CaptureRecorder recorder = Begin(new CaptureOptions { Rotation = new CaptureRotation { MostBytes = 42 } }))
        {
            recorder.Take(NumberedScans.From(0, 25));
            recorder.Skip(7, GapCause.Link);
            recorder.Take(NumberedScans.From(32, 3));
            recorder.Complete();
            Assert.Equal([10L, 10, 8], recorder.Recordings.Select(r => r.Scans));
        }

        long position = 0;
        foreach (string name in (string[])["x-0001", "x-0002", "x-0003"])
        {
            using RecordingReader reader = RecordingReader.Open(_folder.File(name));
            Assert.Equal(position, reader.FirstIndex);
            position = NumberedScans.AssertInPlace(reader);
            Assert.Equal(16, SetupFile.Load(_folder.File(name + ".setup.json")).Scan.Bits);
        }

        Assert.Equal(35, position);
    }

    [Fact]
    public void Rotation_AGapBetweenTwoRecordings_IsToldOnce()
    {
        using (CaptureRecorder recorder = Begin(new CaptureOptions { Rotation = new CaptureRotation { MostBytes = 40 } }))
        {
            recorder.Take(NumberedScans.From(0, 10));
            recorder.Skip(7, GapCause.Link);
            recorder.Take(NumberedScans.From(17, 3));
            recorder.Complete();
        }

        using RecordingReader first = RecordingReader.Open(_folder.File("x-0001")), second = RecordingReader.Open(_folder.File("x-0002"));
        Assert.Equal(17, NumberedScans.AssertInPlace(first));
        Assert.Equal(17, second.FirstIndex);
        Assert.Equal(20, NumberedScans.AssertInPlace(second));
    }

    [Fact]
    public void Rotation_ByTime_AndNumbersGoOnBehindThoseThere()
    {
        CaptureOptions options = new() { Rotation = new CaptureRotation { MostTime = TimeSpan.FromMinutes(10) } };
        for (int run = 0; run < 2; run++)
        {
            using CaptureRecorder recorder = Begin(options);
            recorder.Take(NumberedScans.From(0, 5));
            _clock.Advance(TimeSpan.FromMinutes(10));
            recorder.Take(NumberedScans.From(5, 5));
            recorder.Complete();
        }

        Assert.Equal(["x-0001", "x-0002", "x-0003", "x-0004"],
            _folder.Names.Where(n => n.EndsWith(".sigmf-data", StringComparison.Ordinal)).Select(n => n[..6]));
    }

    [Fact]
    public void Describe_OtherChannels_BeginsTheNextRecording()
    {
        using (CaptureRecorder recorder = Begin())
        {
            recorder.Take(NumberedScans.From(0, 5));
            recorder.Describe(Described with { ScansPerHalf = 64 });
            recorder.Take(NumberedScans.From(5, 5));
            recorder.Break(GapCause.Reset, 0);
            recorder.Describe(Described with { Scan = Described.Scan with { Roles = [ChannelRole.Vertical, ChannelRole.Ramp, ChannelRole.Auxiliary] } });
            recorder.Take([1, 2, 3]);
            recorder.Complete();
        }

        using RecordingReader first = RecordingReader.Open(_folder.File("x")), second = RecordingReader.Open(_folder.File("x-0002"));
        Assert.Equal((10, 2, 1, 3), (first.ScanCount, first.ChannelCount, second.ScanCount, second.ChannelCount));
        Assert.Equal("break", Assert.Single(second.Annotations).Label);
        Assert.Equal(1, SetupFile.Load(_folder.File("x-0002.setup.json")).Scan.RampChannel);
    }

    [Fact]
    public void Describe_AfterTheFirstScans_AddsToTheSameRecording()
    {
        using (var recorder = new CaptureRecorder(_folder.File("x"), clock: _clock))
        {
            recorder.Describe(new StreamDescription { Scan = new ScanFormat { Bits = 16 } });
            recorder.Take(NumberedScans.From(0, 5));
            recorder.Describe(Described with { Volts = [new CodeVolts(-5, 5), null] });
            recorder.Take(NumberedScans.From(5, 5));
            recorder.Flush();
            using RecordingReader killed = _folder.OpenAsKilled("x");
            Assert.Equal((10, 1_000.0, "bench"), (killed.ScanCount, killed.ScanRateHz, killed.Hardware));
            recorder.Complete();
        }

        using RecordingReader reader = RecordingReader.Open(_folder.File("x"));
        Assert.Equal((10, 1_000.0, "bench"), (reader.ScanCount, reader.ScanRateHz, reader.Hardware));
        Assert.Empty(reader.Annotations);
        Assert.Equal(new CodeVolts(-5, 5), SetupFile.Load(_folder.File("x.setup.json")).RampVolts);
        Assert.Equal(["copy", "x.setup.json", "x.sigmf-data", "x.sigmf-meta"], _folder.Names);
    }

    [Fact]
    public void Describe_Volts_StandInTheSetup()
    {
        using (CaptureRecorder recorder = Begin())
        {
            recorder.Describe(Described with { Volts = [new CodeVolts(-5, 5), new CodeVolts(0, -1)] });
            recorder.Take(NumberedScans.From(0, 1));
            recorder.Complete();
        }

        SetupDocument document = SetupFile.LoadDocument(_folder.File("x.setup.json"));
        Assert.Equal(new CodeVolts(-5, 5), document.Setup.RampVolts);
        Assert.Equal(new CodeVolts(0, -1), document.Setup.VerticalScaleOf(0).Volts);
        Assert.Equal(["verticals[0].up"], document.Guessed);
    }

    [Fact]
    public void Complete_LossBehindTheLastScan_SaysThatItIsBehind()
    {
        using (CaptureRecorder recorder = Begin())
        {
            recorder.Take(NumberedScans.From(0, 5));
            recorder.Skip(500, GapCause.Overrun);
            recorder.Break(GapCause.Link, 1);
            recorder.Complete();
        }

        using RecordingReader reader = RecordingReader.Open(_folder.File("x"));
        Assert.Equal(
            ["4 500 scans are missing after this one: overrun of the device.", "4 At least 1 scan is missing after this one: lost on the link."],
            reader.Annotations.Select(note => $"{note.StartScan} {note.Comment}"));
    }

    [Fact]
    public void FolderRemoved_SaysSoAtTheNextFlush()
    {
        using CaptureRecorder recorder = Begin();
        recorder.Take(NumberedScans.From(0, 5));
        Directory.Delete(_folder.Path, recursive: true);
        _clock.Advance(TimeSpan.FromSeconds(1));

        RecordingException gone = Assert.Throws<RecordingException>(() => recorder.Take(NumberedScans.From(5, 5)));
        Assert.Contains("gone", gone.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void FolderThatIsNone_IsRefusedBeforeAnyScan() =>
        Assert.ThrowsAny<IOException>(() => new CaptureRecorder(_folder.File("no/x")));

    [Fact]
    public void Dispose_WithoutComplete_KeepsWhatCame()
    {
        using (CaptureRecorder recorder = Begin())
        {
            recorder.Take(NumberedScans.From(0, 5));
            recorder.Take(NumberedScans.From(5, 5));
        }

        using RecordingReader reader = RecordingReader.Open(_folder.File("x"));
        Assert.Equal(10, reader.ScanCount);
        Assert.True(reader.IsUnfinished);
    }

    [Fact]
    public void Skip_OfMoreThanAnybodyLoses_IsABreak()
    {
        using CaptureRecorder recorder = Begin();
        recorder.Take(NumberedScans.From(0, 5));
        recorder.Skip(1L << 62, GapCause.Link);
        recorder.Skip(1L << 60, GapCause.Link);
        recorder.Take(NumberedScans.From(5, 5));
        recorder.Complete();

        Assert.Equal((1, 1), (recorder.Gaps, recorder.Breaks));
        using RecordingReader reader = RecordingReader.Open(_folder.File("x"));
        Assert.Equal(10, reader.ScanCount);
    }

    [Fact]
    public void Mark_ThatRepeats_IsNotedOnce_AndHoldsInTheNextRecording()
    {
        using (CaptureRecorder recorder = Begin(new CaptureOptions { Rotation = new CaptureRotation { MostBytes = 40 } }))
        {
            recorder.Mark(0, 3);
            recorder.Take(NumberedScans.From(0, 10));
            recorder.Mark(5, 3);
            recorder.Take(NumberedScans.From(10, 10));
            recorder.Complete();
        }

        foreach (string name in (string[])["x-0001", "x-0002"])
        {
            using RecordingReader reader = RecordingReader.Open(_folder.File(name));
            RecordingAnnotation mark = Assert.Single(reader.Annotations);
            Assert.Equal((0L, (ushort?)3), (mark.StartScan, mark.Mark));
        }
    }

    [Fact]
    public void Describe_DeviceThatBeganAnewAndHasNoName_NotesNoWordsOfIt()
    {
        using (CaptureRecorder recorder = Begin())
        {
            recorder.Describe(new StreamDescription { Device = "first" });
            recorder.Take(NumberedScans.From(0, 5));
            recorder.Describe(new StreamDescription { Scan = new ScanFormat { Bits = 14 } });
            recorder.Take(NumberedScans.From(5, 5));
            recorder.Complete();
        }

        using RecordingReader reader = RecordingReader.Open(_folder.File("x-0002"));
        Assert.Empty(reader.Annotations);
    }

    [Fact]
    public void Say_HalfACharacterAndWithoutEnd_IsKeptAsFarAsMetadataCan()
    {
        using (CaptureRecorder recorder = Begin())
        {
            recorder.Take(NumberedScans.From(0, 1));
            recorder.Say("\ud800 half");
            recorder.Say(new string('x', 100_000));
            recorder.Complete();
        }

        using RecordingReader reader = RecordingReader.Open(_folder.File("x"));
        Assert.Equal("\ufffd half", reader.Annotations[0].Comment);
        Assert.True(reader.Annotations[1].Comment!.Length < 3_000);
    }
}
