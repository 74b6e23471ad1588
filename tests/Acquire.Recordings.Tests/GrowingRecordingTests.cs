using Acquire.Capture;
using Acquire.Recordings.Tests.Doubles;
using CsCheck;

namespace Acquire.Recordings.Tests;

/// <summary>A recording that grows in place is copied at any moment, as a killed process would leave it.</summary>
public sealed class GrowingRecordingTests
{
    private static readonly RecordingWriterOptions Growing = new() { GrowInPlace = true, Bits = 12 };

    private static string Copy(TempFolder folder, string name)
    {
        string copy = folder.File("copy");
        foreach (string extension in (string[])[".sigmf-data", ".sigmf-meta"]) File.Copy(name + extension, copy + extension, overwrite: true);
        return copy;
    }

    [Fact]
    public void Flush_ThenKilled_EverythingUpToThereIsRead()
    {
        using var folder = new TempFolder();
        string name = folder.File("x");
        using var writer = new RecordingWriter(name, Growing);
        writer.Write([1, 2, 3, 4]);
        writer.WriteGap(7, GapCause.Overrun);
        writer.Write([5, 6]);
        writer.Flush();
        writer.Write([7, 8]);

        using RecordingReader reader = RecordingReader.Open(Copy(folder, name));
        (ushort[] codes, string joints) = Foreign.ReadAll(reader);

        Assert.Equal([1, 2, 3, 4, 5, 6], codes);
        Assert.Equal("2:7:Overrun", joints);
        Assert.Equal(12, reader.Bits);
        Assert.True(reader.IsUnfinished);
        Assert.Contains("not ended", Assert.Single(reader.Notes), StringComparison.Ordinal);
        Assert.False(reader.IsTruncated);
    }

    // Whatever is written behind the cut would stand behind a hole of zeros, which are codes as any others.
    [Theory]
    [InlineData(2)]
    [InlineData(40_000)]
    [InlineData(400_000)]
    public void Write_BehindWhatAnotherProgramCutShort_IsRefusedAndLeavesNoHole(int codes)
    {
        Assert.SkipUnless(OperatingSystem.IsLinux(), "Elsewhere nobody else may write into an open dataset.");
        using var folder = new TempFolder();
        string name = folder.File("x");
        var writer = new RecordingWriter(name, Growing);
        writer.Write([1, 2, 3, 4, 5, 6]);
        writer.Flush();
        using (FileStream other = new(name + ".sigmf-data", FileMode.Open, FileAccess.Write, FileShare.ReadWrite)) other.SetLength(4);

        RecordingException refused = Assert.Throws<RecordingException>(() =>
        {
            writer.Write(new ushort[codes]);
            writer.Flush();
        });
        writer.Dispose();

        Assert.Equal(RecordingFailure.Shrunk, refused.Failure);
        Assert.Equal(4, new FileInfo(name + ".sigmf-data").Length);
        using RecordingReader reader = RecordingReader.Open(name);
        Assert.Equal([1, 2], Foreign.ReadAll(reader).Codes);
    }

    [Fact]
    public void Complete_OfWhatAnotherProgramCutShort_IsRefused()
    {
        Assert.SkipUnless(OperatingSystem.IsLinux(), "Elsewhere nobody else may write into an open dataset.");
        using var folder = new TempFolder();
        using var writer = new RecordingWriter(folder.File("x"), Growing);
        writer.Write([1, 2, 3, 4]);
        writer.Flush();
        using (FileStream other = new(folder.File("x.sigmf-data"), FileMode.Open, FileAccess.Write, FileShare.ReadWrite)) other.SetLength(4);

        Assert.Equal(RecordingFailure.Shrunk, Assert.Throws<RecordingException>(writer.Complete).Failure);
    }

    [Fact]
    public void KilledBeforeTheFirstScan_OpensWithNone()
    {
        using var folder = new TempFolder();
        string name = folder.File("x");
        using var writer = new RecordingWriter(name, Growing);
        writer.Write([1, 2]);

        using (RecordingReader reader = RecordingReader.Open(Copy(folder, name)))
        {
            Assert.Equal(0, reader.ScanCount);
            Assert.Equal(RecordingReadKind.End, reader.Read(new ushort[8]).Kind);
            Assert.True(reader.IsUnfinished);
        }

        // Killed between the two files: the metadata stands alone.
        File.Delete(folder.File("copy.sigmf-data"));
        using RecordingReader alone = RecordingReader.Open(folder.File("copy"));
        Assert.Equal(0, alone.ScanCount);
    }

    [Fact]
    public void KilledWithinAScan_WholeScansAreReadAndNothingIsCalledCutShort()
    {
        using var folder = new TempFolder();
        string name = folder.File("x");
        using var writer = new RecordingWriter(name, Growing);
        writer.Write([1, 2, 3, 4]);
        writer.Flush();
        string copy = Copy(folder, name);
        using (FileStream data = File.OpenWrite(copy + ".sigmf-data")) data.SetLength(7);

        using RecordingReader reader = RecordingReader.Open(copy);

        Assert.Equal([1, 2], Foreign.ReadAll(reader).Codes);
        Assert.False(reader.IsTruncated);
    }

    [Fact]
    public void KilledAfterAGapWithNoScanBehindIt_TheLossIsTold()
    {
        using var folder = new TempFolder();
        string name = folder.File("x");
        using var writer = new RecordingWriter(name, Growing);
        writer.Write([1, 2]);
        writer.Flush();
        writer.WriteGap(9, GapCause.Overrun);
        writer.Annotate(new RecordingAnnotation(0, 1, "mark", "", Mark: 300));
        writer.Flush();

        using RecordingReader reader = RecordingReader.Open(Copy(folder, name));

        Assert.Equal("1:9:Overrun", Foreign.ReadAll(reader).Joints);
        Assert.Equal((ushort)300, Assert.Single(reader.Annotations).Mark);
    }

    [Fact]
    public void Complete_IsNotUnfinished()
    {
        using var folder = new TempFolder();
        using (var writer = new RecordingWriter(folder.File("x"), Growing with { FirstIndex = 500, OutlivesPowerCut = true }))
        {
            writer.Write([1, 2]);
            writer.Complete();
        }

        using RecordingReader reader = RecordingReader.Open(folder.File("x"));
        Assert.False(reader.IsUnfinished);
        Assert.Empty(reader.Notes);
        Assert.Equal(500, reader.FirstIndex);
        Assert.DoesNotContain("growing", File.ReadAllText(folder.File("x.sigmf-meta")), StringComparison.Ordinal);
    }

    [Fact]
    public void KilledAtAnyMoment_NoGapIsStitched() =>
        Gen.Select(Gen.Int[0, 4], Gen.Int[1, 60_000]).List[1, 12].Sample(steps =>
        {
            using var folder = new TempFolder();
            string name = folder.File("x");
            using var writer = new RecordingWriter(name, Growing);
            long index = 0;
            foreach ((int kind, int count) in steps)
            {
                if (kind == 0)
                {
                    writer.WriteGap(count, GapCause.Link);
                    index += count;
                    continue;
                }

                // Every scan carries its index in the stream, so a stitched gap shows.
                ushort[] scans = new ushort[2 * count];
                for (int i = 0; i < count; i++)
                {
                    scans[2 * i] = (ushort)(index + i);
                    scans[(2 * i) + 1] = (ushort)((index + i) >> 16);
                }

                writer.Write(scans);
                index += count;
                if (kind == 1) writer.Flush();
                using RecordingReader reader = RecordingReader.Open(Copy(folder, name));
                if (!IndicesFit(reader)) return false;
            }

            return true;
        }, iter: 60);

    private static bool IndicesFit(RecordingReader reader)
    {
        ushort[] scans = new ushort[2 * 4_096];
        long expected = reader.FirstIndex;
        while (true)
        {
            RecordingRead read = reader.Read(scans);
            if (read.Kind == RecordingReadKind.End) return true;
            expected += read.LostScans;
            for (int i = 0; i < read.Scans; i++, expected++)
                if ((scans[2 * i] | (scans[(2 * i) + 1] << 16)) != expected) return false;
        }
    }

    [Fact]
    public void Complete_HashAnnotationsAndLossAtTheEnd_AreThere()
    {
        using var folder = new TempFolder();
        string name = folder.File("x");
        using (var writer = new RecordingWriter(name, Growing with { ComputeHash = true }))
        {
            writer.Write([1, 2]);
            writer.Annotate(new RecordingAnnotation(0, 1, "a"));
            writer.WriteGap(3, GapCause.Link);
            writer.Complete();
        }

        using RecordingReader reader = RecordingReader.Open(name, new RecordingOptions { VerifyHash = true });
        Assert.Equal("1:3:Link", Foreign.ReadAll(reader).Joints);
        Assert.Single(reader.Annotations);
        Assert.Equal(["x.sigmf-data", "x.sigmf-meta"], folder.Names());
    }

    [Fact]
    public void Dispose_WithoutComplete_KeepsWhatCame()
    {
        using var folder = new TempFolder();
        using (var writer = new RecordingWriter(folder.File("x"), Growing)) writer.Write([1, 2, 3, 4]);

        using RecordingReader reader = RecordingReader.Open(folder.File("x"));

        Assert.Equal([1, 2, 3, 4], Foreign.ReadAll(reader).Codes);
    }

    [Fact]
    public void New_OverAnOlderRecording_NothingOfItStaysBesideTheNewOne()
    {
        using var folder = new TempFolder();
        string name = Foreign.Write(folder, "ri8", [1, 2, 3, 4]);

        using var writer = new RecordingWriter(name, Growing);

        using (RecordingReader reader = RecordingReader.Open(Copy(folder, name))) Assert.Equal(0, reader.ScanCount);
        Assert.ThrowsAny<IOException>(() => new RecordingWriter(folder.File("no/x"), Growing));
    }

    [Fact]
    public void AnotherWriterOfThatName_IsRefusedAtItsBeginningAndAtItsEnd()
    {
        using var folder = new TempFolder();
        string name = folder.File("x");
        using var early = new RecordingWriter(name);
        early.Write([9, 9]);
        using var growing = new RecordingWriter(name, Growing);
        growing.Write([1, 2]);

        foreach (Action replace in (Action[])[early.Complete, () => new RecordingWriter(name).Dispose(), () => new RecordingWriter(name, Growing).Dispose()])
            Assert.Contains("is being recorded by another program", Assert.Throws<RecordingException>(replace).Message, StringComparison.Ordinal);

        growing.Write([3, 4]);
        growing.Complete();
        using RecordingReader reader = RecordingReader.Open(name);
        Assert.Equal([1, 2, 3, 4], Foreign.ReadAll(reader).Codes);

        // Ended, it may be replaced.
        early.Complete();
    }

    [Fact]
    public void IsUnderItsName_RemovedRenamedOrReplaced_IsNoLonger()
    {
        Assert.SkipUnless(OperatingSystem.IsLinux(), "The kernel tells the name of an open file on Linux only.");
        foreach (Action<string> away in (Action<string>[])[File.Delete, path => File.Move(path, path + "-kept"), AtomicReplace, MoveAndReplace])
        {
            using var folder = new TempFolder();
            using var writer = new RecordingWriter(folder.File("x"), Growing);
            writer.Write([1, 2]);
            writer.Flush();
            Assert.True(writer.IsUnderItsName);

            away(folder.File("x.sigmf-data"));

            Assert.False(writer.IsUnderItsName);
        }

        static void AtomicReplace(string path)
        {
            File.WriteAllBytes(path + "-new", [9, 9, 9, 9]);
            File.Move(path + "-new", path, overwrite: true);
        }

        static void MoveAndReplace(string path)
        {
            File.Move(path, path + "-kept");
            File.WriteAllBytes(path, [9, 9, 9, 9]);
        }
    }

    // Reached by another way, it is the same file.
    [Fact]
    public void IsUnderItsName_InAFolderThatIsALink_Is()
    {
        using var folder = new TempFolder();
        Directory.CreateDirectory(folder.File("real"));
        Directory.CreateSymbolicLink(folder.File("linked"), folder.File("real"));
        using var writer = new RecordingWriter(folder.File("linked/x"), Growing);
        writer.Write([1, 2]);

        Assert.True(writer.IsUnderItsName);
    }

    [Fact]
    public void ManyGaps_WritingStaysInProportion()
    {
        // A gap after every scan: metadata written anew for each would be 20,000 times up to 1.2 MB.
        using var folder = new TempFolder();
        using var writer = new RecordingWriter(folder.File("x"), Growing);
        for (int i = 0; i < 20_000; i++)
        {
            writer.Write([1, 2]);
            writer.WriteGap(1, GapCause.Link);
        }

        writer.Complete();

        using RecordingReader reader = RecordingReader.Open(folder.File("x"));
        Assert.Equal(20_000, Foreign.ReadAll(reader).Joints.Split(' ').Length);
    }
}
