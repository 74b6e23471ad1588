namespace Acquire.Recordings.Tests;

public sealed class WriteCureTests
{
    // errno(3) on Linux, asm-generic/errno-base.h and errno.h; the platform hands the number on in HResult.
    [Theory]
    [InlineData(5, "check the device, or go elsewhere")] // EIO
    [InlineData(21, "name a file inside it")] // EISDIR
    [InlineData(27, "the file system or a limit allows no larger file: write less into one, or go elsewhere")] // EFBIG
    [InlineData(28, "free space, or go elsewhere")] // ENOSPC
    [InlineData(30, "have it made writable, or go elsewhere")] // EROFS
    [InlineData(32, "its reader has gone: keep that open until the end, or name a file")] // EPIPE
    [InlineData(122, "free space, since this user may take no more, or go elsewhere")] // EDQUOT
    [InlineData(71, "check its links and its device, or go elsewhere")] // EPROTO, as any other
    public void Of_NumberOfTheSystem_FitsTheCause(int code, string cure)
    {
        Assert.Equal(cure, WriteCure.Of(new IOException("It failed", code), "go elsewhere"));
        Assert.Equal(cure, WriteCure.Of(new IOException("Around it", new IOException("It failed", code)), "go elsewhere"));
    }

    [Fact]
    public void Of_ExceptionOfThePlatform_FitsTheCause()
    {
        // EACCES and EPERM, ENAMETOOLONG, ENOENT, EFBIG.
        Assert.Equal("change the permissions, or x", WriteCure.Of(new UnauthorizedAccessException("no", new IOException("Permission denied", 13)), "x"));
        Assert.Equal("give a shorter name", WriteCure.Of(new PathTooLongException(), "x"));
        Assert.Equal("create the folder, or x", WriteCure.Of(new DirectoryNotFoundException(), "x"));
        Assert.StartsWith("the file system or a limit allows no larger file", WriteCure.Of(new ArgumentOutOfRangeException("value"), "x"), StringComparison.Ordinal);
    }

    [Fact]
    public void IsRefusal_WrongArgument_IsOursUnlessItIsAFileTooLarge()
    {
        Assert.True(WriteCure.IsRefusal(new ArgumentOutOfRangeException("value")));
        Assert.False(WriteCure.IsRefusal(new ArgumentOutOfRangeException("count")));
        Assert.False(WriteCure.IsRefusal(new InvalidOperationException()));
    }
}
