using Acquire.Capture;
using Acquire.Recordings.Tests.Doubles;
using CsCheck;

namespace Acquire.Recordings.Tests;

public sealed class RecordingWriterTests
{
    [Fact]
    public void Complete_ScansGapBreak_ReadBackAsWritten()
    {
        using var folder = new TempFolder();
        string name = folder.File("bench");
        var started = new DateTimeOffset(2030, 1, 31, 12, 0, 0, 250, TimeSpan.FromHours(2));
        using (var writer = new RecordingWriter(name, new RecordingWriterOptions
        {
            Bits = 12,
            ScanRateHz = 100_000,
            Description = "A filter \"under\" test",
            Author = "bench 3",
            Hardware = "board µ",
            Started = started,
            ComputeHash = true,
        }))
        {
            writer.Write([0, 4095, 1, 2]);
            writer.WriteGap(500, GapCause.Overrun);
            writer.Write([3, 4]);
            writer.WriteBreak(GapCause.Reset);
            writer.Write([5, 6]);
            writer.WriteGap(9, GapCause.Link);
            writer.Annotate(new RecordingAnnotation(2, 1, "late", "second"));
            writer.Annotate(new RecordingAnnotation(0, null, null, "first"));
            writer.Complete();
        }

        using RecordingReader reader = RecordingReader.Open(name, new RecordingOptions { VerifyHash = true });
        (ushort[] codes, string joints) = Foreign.ReadAll(reader);

        Assert.Equal([0, 4095, 1, 2, 3, 4, 5, 6], codes);
        Assert.Equal("2:500:Overrun 3:?:Reset 4:9:Link", joints);
        Assert.Equal((12, 100_000.0, "A filter \"under\" test", "bench 3", "board µ"),
            (reader.Bits, reader.ScanRateHz, reader.Description, reader.Author, reader.Hardware));
        Assert.Equal(started, reader.Started);
        Assert.Equal([new RecordingAnnotation(0, null, null, "first"), new RecordingAnnotation(2, 1, "late", "second")], reader.Annotations);
        Assert.Empty(reader.Notes);
        Assert.Equal(["bench.sigmf-data", "bench.sigmf-meta"], folder.Names());
    }

    [Fact]
    public void AnySequence_ReadsBackWithEveryGapAndBreak() =>
        Gen.Select(Gen.Int[1, 4], Gen.Select(Gen.Int[0, 3], Gen.Int[1, 50]).List[1, 20]).Sample((channels, steps) =>
        {
            using var folder = new TempFolder();
            var codes = new List<ushort>();
            var joints = new List<string>();
            long scans = 0, lost = 0;
            bool isBreak = false;
            using (var writer = new RecordingWriter(folder.File("x"), new RecordingWriterOptions { ChannelCount = channels }))
            {
                foreach ((int kind, int count) in steps.Append((0, 1)))
                {
                    switch (kind)
                    {
                        case 0 or 1:
                            if (scans > 0 && isBreak) joints.Add($"{scans}:?:File");
                            else if (scans > 0 && lost > 0) joints.Add($"{scans}:{lost}:File");
                            (lost, isBreak) = (0, false);
                            ushort[] words = [.. Enumerable.Range(0, count * channels).Select(i => (ushort)((scans * 31) + i))];
                            writer.Write(words);
                            codes.AddRange(words);
                            scans += count;
                            break;
                        case 2:
                            writer.WriteGap(count, GapCause.File);
                            lost += count;
                            break;
                        default:
                            writer.WriteBreak(GapCause.File);
                            isBreak = true;
                            break;
                    }
                }

                writer.Complete();
            }

            using RecordingReader reader = RecordingReader.Open(folder.File("x"));
            (ushort[] read, string found) = Foreign.ReadAll(reader, 16);
            return read.SequenceEqual(codes) && found == string.Join(' ', joints) && reader.Notes.Count == 0;
        });

    [Fact]
    public void Dispose_WithoutComplete_LeavesNothingAndKeepsWhatWasThere()
    {
        using var folder = new TempFolder();
        File.WriteAllText(folder.File("x.sigmf-data"), "old");
        using (var writer = new RecordingWriter(folder.File("x")))
        {
            writer.Write(new ushort[200_000]);
            Assert.Equal("old", File.ReadAllText(folder.File("x.sigmf-data")));
        }

        Assert.Equal(["x.sigmf-data"], folder.Names());
        Assert.Equal("old", File.ReadAllText(folder.File("x.sigmf-data")));
    }

    [Fact]
    public void Complete_OverAnOlderRecording_ReplacesBothFiles()
    {
        using var folder = new TempFolder();
        foreach (ushort code in (ReadOnlySpan<ushort>)[1, 2])
        {
            using var writer = new RecordingWriter(folder.File("x"));
            writer.Write([code, code]);
            writer.Complete();
        }

        using RecordingReader reader = RecordingReader.Open(folder.File("x"));
        Assert.Equal([2, 2], Foreign.ReadAll(reader).Codes);
    }

    [Theory]
    [InlineData(false)]
    [InlineData(true)]
    public void Complete_AgainAfterItWasRefused_HasTheHashOfAllScans(bool growInPlace)
    {
        using var folder = new TempFolder();
        string name = folder.File("x"), metadata = folder.File("x.sigmf-meta");
        using var writer = new RecordingWriter(name, new RecordingWriterOptions { ComputeHash = true, GrowInPlace = growInPlace });
        writer.Write([1, 2]);
        File.Delete(metadata);
        Directory.CreateDirectory(metadata);
        Assert.Equal(RecordingFailure.NotWritable, Assert.Throws<RecordingException>(writer.Complete).Failure);
        Directory.Delete(metadata);
        writer.Write([3, 4]);
        writer.Complete();

        using RecordingReader reader = RecordingReader.Open(name, new RecordingOptions { VerifyHash = true });
        Assert.Equal([1, 2, 3, 4], Foreign.ReadAll(reader).Codes);
        Assert.False(reader.IsUnfinished);
    }

    [Fact]
    public void Dispose_AfterARefusedComplete_SaysThatItWasNotEnded()
    {
        using var folder = new TempFolder();
        string metadata = folder.File("x.sigmf-meta");
        using (var writer = new RecordingWriter(folder.File("x"), new RecordingWriterOptions { GrowInPlace = true }))
        {
            writer.Write([1, 2]);
            File.Delete(metadata);
            Directory.CreateDirectory(metadata);
            Assert.Throws<RecordingException>(writer.Complete);
            Directory.Delete(metadata);
        }

        using RecordingReader reader = RecordingReader.Open(folder.File("x"));
        Assert.True(reader.IsUnfinished);
    }

    [Fact]
    public void FirstIndex_MostThatThereMayBe_IsWhatTheRuleSays()
    {
        const long Most = (1L << 61) - 1;
        new RecordingWriterOptions { FirstIndex = Most }.Validate();

        Assert.Contains("2^61 - 1", Assert.Throws<ArgumentException>(new RecordingWriterOptions { FirstIndex = Most + 1 }.Validate).Message, StringComparison.Ordinal);
    }

    [Fact]
    public void Misuse_Refused()
    {
        using var folder = new TempFolder();
        using var writer = new RecordingWriter(folder.File("x"));

        Assert.Throws<ArgumentException>(() => writer.Write([1]));
        Assert.Throws<ArgumentOutOfRangeException>(() => writer.WriteGap(0));
        Assert.Throws<ArgumentException>(() => writer.Annotate(new RecordingAnnotation(-1)));
        Assert.Throws<InvalidOperationException>(writer.Complete);
        Assert.Throws<ArgumentException>(() => new RecordingWriter(folder.File("y"), new RecordingWriterOptions { ScanRateHz = 0.5 }));
        Assert.Throws<ArgumentException>(() => new RecordingWriter(folder.File("y"), new RecordingWriterOptions { ScanRateHz = double.NaN }));
        Assert.Throws<ArgumentException>(() => new RecordingWriter(folder.File("y"), new RecordingWriterOptions { ChannelCount = 0 }));
    }

    [Theory]
    [InlineData(true)]
    [InlineData(false)]
    public void AnyCall_AfterTheEnd_IsRefusedInOneLine(bool complete)
    {
        using var folder = new TempFolder();
        using var writer = new RecordingWriter(folder.File("x"), new RecordingWriterOptions { GrowInPlace = true });
        writer.Write([1, 2]);
        if (complete) writer.Complete();
        else writer.Dispose();
        byte[] metadata = File.ReadAllBytes(folder.File("x.sigmf-meta")), data = File.ReadAllBytes(folder.File("x.sigmf-data"));

        foreach (Action call in (Action[])[() => writer.Write([3, 4]), () => writer.WriteGap(5), () => writer.WriteBreak(), () => writer.Annotate(new RecordingAnnotation(0)),
            () => writer.State(1_000, null), () => writer.Flush(), writer.Complete])
            Assert.EndsWith("is complete or disposed; begin a new recording.", Assert.Throws<InvalidOperationException>(call).Message, StringComparison.Ordinal);

        writer.Dispose();
        Assert.Equal(metadata, File.ReadAllBytes(folder.File("x.sigmf-meta")));
        Assert.Equal(data, File.ReadAllBytes(folder.File("x.sigmf-data")));
    }

    [Fact]
    public void Write_MostGapsThereMayBe_StillReadAndOneMoreRefused()
    {
        using var folder = new TempFolder();
        ushort[] scan = new ushort[1];
        using (var writer = new RecordingWriter(folder.File("x"), new RecordingWriterOptions { ChannelCount = 1 }))
        {
            writer.Write(scan);
            for (int i = 1; i < RecordingWriter.MostSegments; i++)
            {
                writer.WriteGap(1L << 41, GapCause.Overrun);
                writer.Write(scan);
            }

            writer.WriteGap(1);
            RecordingException e = Assert.Throws<RecordingException>(() => writer.Write(scan));
            Assert.Contains("complete it and begin another", e.Message, StringComparison.Ordinal);
            writer.Complete();
        }

        using RecordingReader reader = RecordingReader.Open(folder.File("x"));
        Assert.Equal(RecordingWriter.MostSegments, reader.ScanCount);
        Assert.Equal(RecordingReadKind.Scans, reader.Read(scan).Kind);
        Assert.Equal(1L << 41, reader.Read(scan).LostScans);
    }

    [Fact]
    public void Write_SteadyState_AllocatesNothing()
    {
        using var folder = new TempFolder();
        using var writer = new RecordingWriter(folder.File("x"));
        ushort[] scans = new ushort[2_000];

        Allocations.AssertNone(() => writer.Write(scans), runs: 100);
    }
}
