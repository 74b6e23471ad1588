using System.IO.Pipes;
using System.Runtime.Versioning;
using Acquire.Recordings.Tests.Doubles;

namespace Acquire.Recordings.Tests;

public sealed class AtomicFileTests
{
    [Fact]
    public void Commit_NewFile_AppearsOnlyThen()
    {
        using var folder = new TempFolder();
        using AtomicFile file = AtomicFile.Create(folder.File("sheet.svg"));
        file.Stream.Write("abc"u8);

        Assert.False(File.Exists(folder.File("sheet.svg")));
        file.Commit();

        Assert.Equal("abc", File.ReadAllText(folder.File("sheet.svg")));
        Assert.Equal(["sheet.svg"], folder.Names());
        Assert.Throws<InvalidOperationException>(file.Commit);
    }

    [Fact]
    public void Dispose_WithoutCommit_OldFileStaysAndNothingIsLeft()
    {
        using var folder = new TempFolder();
        File.WriteAllText(folder.File("sheet.svg"), "old");

        using (AtomicFile file = AtomicFile.Create(folder.File("sheet.svg"))) file.Stream.Write("new"u8);

        Assert.Equal(["sheet.svg"], folder.Names());
        Assert.Equal("old", File.ReadAllText(folder.File("sheet.svg")));
    }

    [Fact]
    public void WriteAllBytes_OverALink_ReplacesTheFileItLeadsTo()
    {
        using var folder = new TempFolder();
        File.WriteAllText(folder.File("real"), "old");
        File.CreateSymbolicLink(folder.File("link"), folder.File("real"));

        AtomicFile.WriteAllBytes(folder.File("link"), "new"u8);

        Assert.Equal("new", File.ReadAllText(folder.File("real")));
        Assert.NotNull(new FileInfo(folder.File("link")).LinkTarget);
    }

    // Its writer would go on into a file that nobody can find.
    [Theory]
    [InlineData("x.sigmf-data")]
    [InlineData("x.sigmf-meta")]
    public void Create_OverARecordingThatIsBeingWritten_IsRefusedAndThatOneStays(string output)
    {
        using var folder = new TempFolder();
        using AtomicFile early = AtomicFile.Create(folder.File(output));
        using var writer = new RecordingWriter(folder.File("x"), new RecordingWriterOptions { GrowInPlace = true });
        writer.Write([1, 2]);

        foreach (Action replace in (Action[])[early.Commit, () => AtomicFile.Create(folder.File(output))])
            Assert.Contains("is being recorded by another program", Assert.ThrowsAny<IOException>(replace).Message, StringComparison.Ordinal);

        writer.Write([3, 4]);
        writer.Complete();
        using (RecordingReader reader = RecordingReader.Open(folder.File("x"))) Assert.Equal(2, reader.ScanCount);

        // Ended, it may be replaced.
        AtomicFile.WriteAllBytes(folder.File(output), "new"u8);
    }

    [Fact]
    public void Create_FolderMissing_SaysWhichAndWhatToDo()
    {
        using var folder = new TempFolder();

        IOException e = Assert.ThrowsAny<IOException>(() => AtomicFile.Create(folder.File("no/sheet.svg")));

        Assert.Contains("does not exist; create it", e.Message, StringComparison.Ordinal);
        Assert.DoesNotContain('\n', e.Message);
    }

    [Fact]
    public void Create_NameOfAFolder_Refused()
    {
        using var folder = new TempFolder();

        IOException e = Assert.ThrowsAny<IOException>(() => AtomicFile.Create(folder.FullName));

        Assert.Contains("is a folder", e.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void Create_BufferOfFewerThanNoBytes_IsTheCallersMistakeAndNotTheDisks()
    {
        using var folder = new TempFolder();

        Assert.Equal("bufferBytes", Assert.Throws<ArgumentOutOfRangeException>(() => AtomicFile.Create(folder.File("a.txt"), bufferBytes: -1)).ParamName);
        Assert.Empty(folder.Names());
    }

    [Fact]
    public void Create_LinkInACircle_OneLine()
    {
        using var folder = new TempFolder();
        File.CreateSymbolicLink(folder.File("a"), folder.File("b"));
        File.CreateSymbolicLink(folder.File("b"), folder.File("a"));

        IOException e = Assert.ThrowsAny<IOException>(() => AtomicFile.Create(folder.File("a")));

        Assert.Contains("cannot be written", e.Message, StringComparison.Ordinal);
    }

    [Fact]
    [UnsupportedOSPlatform("windows")]
    public void Create_FolderNotWritable_Refused()
    {
        Assert.SkipWhen(Environment.IsPrivilegedProcess, "Permissions do not bind this user.");
        Assert.SkipWhen(OperatingSystem.IsWindows(), "Folders have other permissions here.");
        using var folder = new TempFolder();
        File.SetUnixFileMode(folder.FullName, UnixFileMode.UserRead | UnixFileMode.UserExecute);

        IOException e = Assert.ThrowsAny<IOException>(() => AtomicFile.Create(folder.File("x")));

        File.SetUnixFileMode(folder.FullName, UnixFileMode.UserRead | UnixFileMode.UserWrite | UnixFileMode.UserExecute);
        Assert.Contains("may not write", e.Message, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData(16)]
    [InlineData(1 << 20)]
    public void Stream_NoRoom_NamesTheFileTheReasonAndTheCure(int bytes)
    {
        Assert.SkipUnless(File.Exists("/dev/full"), "No device of that name here.");
        using AtomicFile file = AtomicFile.Create("/dev/full");

        IOException e = Assert.ThrowsAny<IOException>(() =>
        {
            file.Stream.Write(new byte[bytes]);
            file.Stream.Flush();
        });

        Assert.Equal("/dev/full cannot be written: No space left on device; free space, or name another folder.", e.Message);
    }

    [Fact]
    public void Stream_ReaderHasGone_TheCureIsNotSpace()
    {
        using var pipe = new AnonymousPipeServerStream(PipeDirection.In);
        string end = $"/proc/self/fd/{pipe.ClientSafePipeHandle.DangerousGetHandle()}";
        Assert.SkipUnless(File.Exists(end), "Open files have no names here.");
        using AtomicFile file = AtomicFile.Create(end, bufferBytes: 0);
        pipe.Dispose();

        IOException e = Assert.ThrowsAny<IOException>(() => file.Stream.Write("abc"u8));

        Assert.Equal($"{end} cannot be written: Broken pipe; its reader has gone: keep that open until the end, or name a file.", e.Message);
    }

    [Fact]
    public void Create_NameTooLong_IsRefusedBeforeAnythingIsWritten()
    {
        using var folder = new TempFolder();

        IOException e = Assert.ThrowsAny<IOException>(() => AtomicFile.Create(folder.File(new string('x', 300))));

        Assert.EndsWith("cannot be written: File name too long; give a shorter name.", e.Message, StringComparison.Ordinal);
        Assert.Empty(folder.Names());
    }

    [Fact]
    public void WriteAllBytes_ToADevice_WritesThroughAndLeavesIt()
    {
        Assert.SkipUnless(File.Exists("/dev/null"), "No device of that name here.");

        AtomicFile.WriteAllBytes("/dev/null", "abc"u8);

        Assert.Equal(0, new FileInfo("/dev/null").Length);
        using FileStream device = File.OpenWrite("/dev/null");
        device.Write("still swallows"u8);
        device.Flush();
        Assert.Equal(0, device.Length);
    }

    // As /dev/stdout is where a command's output goes to another: a link to what has no name in any folder.
    [Fact]
    public void WriteAllBytes_ToAPipeThatOnlyTheKernelCanFollow_WritesThrough()
    {
        using var pipe = new AnonymousPipeServerStream(PipeDirection.In);
        string end = $"/proc/self/fd/{pipe.ClientSafePipeHandle.DangerousGetHandle()}";
        Assert.SkipUnless(File.Exists(end), "Open files have no names here.");

        AtomicFile.WriteAllBytes(end, "abc"u8);

        byte[] read = new byte[3];
        pipe.ReadExactly(read);
        Assert.Equal("abc"u8, read);
    }

    [Fact]
    public void Create_NoSuchDevice_SaysSo()
    {
        Assert.SkipUnless(Directory.Exists("/proc/self"), "No such folder here.");

        IOException e = Assert.ThrowsAny<IOException>(() => AtomicFile.Create("/proc/self/x").Dispose());

        Assert.Equal("/proc/self/x cannot be written: nothing has that name, and no file can be made there; name another folder.", e.Message);
    }
}
