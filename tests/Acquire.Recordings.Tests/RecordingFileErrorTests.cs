using System.Diagnostics;
using System.Runtime.Versioning;
using Acquire.Recordings.Tests.Doubles;
using Microsoft.Win32.SafeHandles;
using static Acquire.Recordings.Tests.Doubles.Damaged;

namespace Acquire.Recordings.Tests;

/// <summary>What is wrong lies with the files, not with what they hold.</summary>
public sealed class RecordingFileErrorTests
{
    [Fact]
    public void Open_NoSuchRecording_SaysSo()
    {
        using var folder = new TempFolder();

        Assert.Contains("does not exist", Refused(folder.File("none"), RecordingFailure.NotFound).Message, StringComparison.Ordinal);
        Refused(folder.File("no/folder/x"), RecordingFailure.NotFound);
        Refused(folder.FullName, RecordingFailure.IsFolder);
        Refused(folder.File("bad\0name"), RecordingFailure.Unreadable);
    }

    [Fact]
    public void Open_OneFileOfThePair_NamesTheOther()
    {
        using var folder = new TempFolder();
        string name = Foreign.Write(folder, "ru16_le", TwoScans);
        File.Move(name + ".sigmf-meta", folder.File("meta"));

        Assert.Contains("foreign.sigmf-meta", Refused(name, RecordingFailure.MetadataMissing).Message, StringComparison.Ordinal);
        Refused(name + ".sigmf-data", RecordingFailure.MetadataMissing);

        File.Move(folder.File("meta"), name + ".sigmf-meta");
        File.Delete(name + ".sigmf-data");
        Assert.Contains("foreign.sigmf-data", Refused(name, RecordingFailure.DataMissing).Message, StringComparison.Ordinal);

        Foreign.WriteMetadata(name, Metadata(",\"core:metadata_only\":true"));
        Assert.Contains("metadata_only", Refused(name, RecordingFailure.DataMissing).Message, StringComparison.Ordinal);
    }

    [Fact]
    public void Open_FolderOrOtherFileInPlaceOfOne_Refused()
    {
        using var folder = new TempFolder();
        string name = Foreign.Write(folder, "ru16_le", TwoScans);
        File.Delete(name + ".sigmf-data");
        Directory.CreateDirectory(name + ".sigmf-data");
        Refused(name, RecordingFailure.IsFolder);

        File.Delete(name + ".sigmf-meta");
        Directory.CreateDirectory(name + ".sigmf-meta");
        Refused(name, RecordingFailure.IsFolder);

        File.WriteAllText(folder.File("notes.txt"), "text");
        Refused(folder.File("notes.txt"), RecordingFailure.UnknownKind);
    }

    [Fact]
    public void Open_EmptyDataset_Refused()
    {
        using var folder = new TempFolder();

        Refused(Foreign.Write(folder, "ru16_le", []), RecordingFailure.NoScans);
        Refused(Foreign.Write(folder, "ru16_le", [1, 2, 3]), RecordingFailure.NoScans);
    }

    [Fact]
    public void Open_LinksInACircle_Refused()
    {
        using var folder = new TempFolder();
        string name = Foreign.Write(folder, "ru16_le", TwoScans);
        foreach (string extension in (string[])[".sigmf-data", ".sigmf-meta"])
        {
            File.Delete(name + extension);
            File.CreateSymbolicLink(name + extension, folder.File("round"));
            File.Delete(folder.File("round"));
            File.CreateSymbolicLink(folder.File("round"), name + extension);

            Assert.Contains("cannot be read", Refused(name, RecordingFailure.Unreadable).Message, StringComparison.Ordinal);
        }
    }

    [Fact]
    public void Open_LinkedRecording_IsRead()
    {
        using var folder = new TempFolder();
        string name = Foreign.Write(folder, "ru16_le", TwoScans);
        File.CreateSymbolicLink(folder.File("link.sigmf-meta"), name + ".sigmf-meta");
        File.CreateSymbolicLink(folder.File("link.sigmf-data"), name + ".sigmf-data");

        using RecordingReader reader = RecordingReader.Open(folder.File("link"));

        Assert.Equal([0, 1, 2, 3], Foreign.ReadAll(reader).Codes);
    }

    [Fact]
    public void Open_PipeInPlaceOfTheDataset_DoesNotWaitForAWriter()
    {
        Assert.SkipUnless(OperatingSystem.IsLinux(), "Pipes with names are made by a tool of this system only.");
        using var folder = new TempFolder();
        string name = Foreign.Write(folder, "ru16_le", TwoScans);
        File.Delete(name + ".sigmf-data");
        using Process make = Process.Start("mkfifo", name + ".sigmf-data");
        make.WaitForExit();
        Assert.Equal(0, make.ExitCode);

        Refused(name, RecordingFailure.NoScans);
    }

    [Fact]
    [UnsupportedOSPlatform("windows")]
    public void Open_NotPermitted_Refused()
    {
        Assert.SkipWhen(Environment.IsPrivilegedProcess, "Permissions do not bind this user.");
        Assert.SkipWhen(OperatingSystem.IsWindows(), "Files have other permissions here.");
        using var folder = new TempFolder();
        string name = Foreign.Write(folder, "ru16_le", TwoScans);
        File.SetUnixFileMode(name + ".sigmf-data", UnixFileMode.None);

        Refused(name, RecordingFailure.NotPermitted);
    }

    [Fact]
    public void Open_OptionThatDoesNotFit_Refused()
    {
        using var folder = new TempFolder();
        string name = Foreign.Write(folder, "ru8", TwoScans);

        Refused(name, RecordingFailure.OptionWrong, new RecordingOptions { Bits = 12 });
        Refused(name, RecordingFailure.ChannelsWrong, new RecordingOptions { Channels = [0, 2] });
        Refused(name, RecordingFailure.ChannelsWrong, new RecordingOptions { Channels = [-1] });
        Assert.Throws<ArgumentException>(() => RecordingReader.Open(name, new RecordingOptions { Bits = 17 }));
        Assert.Throws<ArgumentException>(() => RecordingReader.Open(name, new RecordingOptions { Channels = [.. Enumerable.Repeat(0, RecordingOptions.MaxSelectedChannels + 1)] }));
        using (RecordingReader reader = RecordingReader.Open(name, new RecordingOptions { Channels = [.. Enumerable.Repeat(0, RecordingOptions.MaxSelectedChannels)] })) Assert.Equal(8, reader.ChannelCount);
        Assert.Throws<ArgumentException>(() => RecordingReader.Open(name, new RecordingOptions { Ranges = [new(1, 1)] }));
    }

    [Fact]
    public void Read_FileShrinksMeanwhile_SaysSo()
    {
        using var folder = new TempFolder();
        string name = Foreign.Write(folder, "ru16_le", new byte[1 << 20]);
        using RecordingReader reader = RecordingReader.Open(name);
        using (var file = new FileStream(name + ".sigmf-data", FileMode.Open, FileAccess.Write, FileShare.ReadWrite)) file.SetLength(1 << 19);
        ushort[] scans = new ushort[1 << 20];

        RecordingException e = Assert.Throws<RecordingException>(() => reader.Read(scans));

        Assert.Equal(RecordingFailure.Shrunk, e.Failure);
    }

    // A block that begins behind the new end is what is asked for, not where the file ends.
    [Fact]
    public void Read_FileShrinksBeforeTheNextBlock_SaysWhereItEnds()
    {
        using var folder = new TempFolder();
        string name = Foreign.Write(folder, "ru16_le", new byte[4 << 20]);
        using RecordingReader reader = RecordingReader.Open(name);
        ushort[] scans = new ushort[1 << 20];
        reader.Read(scans);
        using (var file = new FileStream(name + ".sigmf-data", FileMode.Open, FileAccess.Write, FileShare.ReadWrite)) file.SetLength(1_000);

        RecordingException e = Assert.Throws<RecordingException>(() => reader.Read(scans));

        Assert.Contains("ends at byte 1000 ", e.Message, StringComparison.Ordinal);
    }

    // What may only be written stands for any device that refuses in the middle.
    [Fact]
    public void ReadExactly_SystemRefuses_SaysWhyAndOneCure()
    {
        using var folder = new TempFolder();
        string path = folder.File("scans");
        File.WriteAllBytes(path, new byte[100]);
        using SafeFileHandle handle = File.OpenHandle(path, FileMode.Open, FileAccess.Write);

        RecordingException e = Assert.Throws<RecordingException>(() => FileOpening.ReadExactly(handle, new byte[10], 40, path));

        Assert.Equal(RecordingFailure.Unreadable, e.Failure);
        Assert.Contains(" cannot be read at byte 40: ", e.Message, StringComparison.Ordinal);
        Assert.Matches("(change its permissions|check the device that it is on)\\.$", e.Message);
        Assert.Equal(2, e.Message.Split(path).Length);
    }
}
