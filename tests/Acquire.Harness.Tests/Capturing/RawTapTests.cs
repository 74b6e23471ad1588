using Acquire.Harness.Capturing;
using Acquire.Harness.Shell;
using Acquire.Harness.Tests.Doubles;

namespace Acquire.Harness.Tests.Capturing;

public sealed class RawTapTests : IDisposable
{
    private readonly ScratchFolder _folder = new();

    public RawTapTests() => Assert.SkipUnless(OperatingSystem.IsLinux(), "A small disk is mounted on Linux only.");

    public void Dispose() => _folder.Dispose();

    // Of a block larger than the buffer goes to the file what there is room for; of one that waits in it, nothing.
    [Theory]
    [InlineData(300_000)]
    [InlineData(4_000)]
    public void Take_DiskFull_CountsWhatIsInTheFile(int blockBytes)
    {
        string folder = Path.Combine(_folder.Path, "disk"), path = Path.Combine(folder, "got.raw");
        using SmallDisk disk = new(folder, "size=1m");
        byte[] block = new byte[blockBytes];
        using RawTap tap = new(path);

        CommandFailure failure = Assert.Throws<CommandFailure>(() =>
        {
            for (int i = 0; i < 2_000_000 / blockBytes; i++) tap.Take(block);
            tap.Complete();
        });

        Assert.Contains("No space left", failure.Message, StringComparison.Ordinal);
        Assert.InRange(tap.Bytes, 900_000, 1 << 20);
        Assert.Equal(new FileInfo(path).Length, tap.Bytes);
        tap.Dispose();
        Assert.Equal(new FileInfo(path).Length, tap.Bytes);
    }
}
