using Acquire.Harness.Shell;
using Acquire.Harness.Tests.Commands;
using Acquire.Harness.Tests.Doubles;

namespace Acquire.Harness.Tests.Shell;

/// <summary>What is said where a process may have few files open at once.</summary>
public sealed class OpenFilesTests : IDisposable
{
    private readonly ScratchFolder _folder = new();

    public OpenFilesTests() => Assert.SkipUnless(OperatingSystem.IsLinux(), "Limits are set by a shell as on Linux.");

    public void Dispose() => _folder.Dispose();

    // 20 and fewer are too few for the runtime to start the command at all.
    [Theory]
    [InlineData(32)]
    [InlineData(48)]
    [InlineData(60)]
    [InlineData(95)]
    public void Run_TooFewOpenFiles_SaysSoInOneLine(int limit)
    {
        CommandResult result = AcquireCommand.RunBehind($"ulimit -n {limit}", _folder.Path, "demo", "--out", "made");

        Assert.Equal(ExitCode.Unreadable, result.ExitCode);
        Assert.Equal($"acquire: a process of this user may have {limit} files open at once, and up to 96 are needed; raise the limit, as with ulimit -n 1024.\n", result.Error);
        Assert.Empty(_folder.Names);
    }

    [Fact]
    public void Run_AsManyAsAreNeeded_Works() => AcquireCommand.RunBehind("ulimit -n 96", _folder.Path, "demo", "--out", "made").AssertDone();
}
