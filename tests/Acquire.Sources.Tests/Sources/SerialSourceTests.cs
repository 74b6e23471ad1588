using System.Runtime.InteropServices;
using System.Runtime.Versioning;
using Acquire.Capture;
using Acquire.Sources.Native;
using Acquire.Sources.Serial;
using Acquire.Sources.Tests.Doubles;

namespace Acquire.Sources.Tests.Sources;

[SupportedOSPlatform("linux")]
public class SerialSourceTests
{
    [Theory]
    [InlineData("/dev/no-such-port", SourceFailure.Missing)]
    [InlineData("/dev/null/port", SourceFailure.Missing)]
    [InlineData("/dev", SourceFailure.IsFolder)]
    [InlineData("/dev/null", SourceFailure.NotTerminal)]
    public void Run_PortCannotBeHad_SaysWhichReason(string port, SourceFailure failure)
    {
        SourceException exception = Assert.Throws<SourceException>(() => Run(new SerialSource(port, null, WordBytes.Decoder)));

        Assert.Equal(failure, exception.Failure);
        Assert.StartsWith($"serial:{port}: ", exception.Message, StringComparison.Ordinal);
        Assert.DoesNotContain('\n', exception.Message);
    }

    [Fact]
    public void Run_PortIsAFile_SaysThatItIsNoPort()
    {
        string file = Path.GetTempFileName();
        try
        {
            Assert.Equal(SourceFailure.NotTerminal, Assert.Throws<SourceException>(() => Run(new SerialSource(file, null, WordBytes.Decoder))).Failure);
        }
        finally
        {
            File.Delete(file);
        }
    }

    [Fact]
    public void Run_PortInUse_SaysThatItIsBusyAndLeavesTheOtherAlone()
    {
        using Pty pty = new();
        WatchedReceiver receiver = new();
        using SourceRun first = new(new SerialSource(pty.Port, null, WordBytes.Decoder), receiver);
        pty.Write(WordBytes.Of([1, 2]));
        receiver.WaitForWords(2);

        SourceException exception = Assert.Throws<SourceException>(() => Run(new SerialSource(pty.Port, null, WordBytes.Decoder)));
        pty.Write(WordBytes.Of([3, 4]));
        receiver.WaitForWords(4);

        Assert.Equal(SourceFailure.Busy, exception.Failure);
        Assert.Equal([1, 2, 3, 4], receiver.Words);
    }

    [Fact]
    public void Run_NotPermitted_SaysSo()
    {
        if (Environment.IsPrivilegedProcess) Assert.Skip("Nothing is forbidden to this user.");
        string file = Path.GetTempFileName();
        try
        {
            File.SetUnixFileMode(file, UnixFileMode.None);
            Assert.Equal(SourceFailure.NotPermitted, Assert.Throws<SourceException>(() => Run(new SerialSource(file, null, WordBytes.Decoder))).Failure);
        }
        finally
        {
            File.Delete(file);
        }
    }

    [Fact]
    public void Failures_OfTheKernelsNumbers_AllHaveWordsOfTheirOwn()
    {
        int[] numbers = [Errno.NoEntry, Errno.Access, Errno.Busy, Errno.NotTerminal, Errno.IsDirectory, Errno.NoDevice, 24];

        string[] messages = [.. numbers.Select(number => SerialFailures.OfOpen("serial:x", number).Message)];

        Assert.Equal(numbers.Length, messages.Distinct(StringComparer.Ordinal).Count());
        Assert.Equal(SourceFailure.NotPermitted, SerialFailures.OfOpen("serial:x", Errno.Access).Failure);
    }

    [Theory]
    [InlineData(50)]
    [InlineData(115_200)]
    [InlineData(1_234_567)]
    [InlineData(3_000_000)]
    public void Run_AnyRate_IsSetToTheNumberItself(int baud)
    {
        using Pty pty = new();
        WatchedReceiver receiver = new();
        using SourceRun run = new(new SerialSource(pty.Port, new SerialOptions { Baud = baud }, WordBytes.Decoder), receiver);
        pty.Write(WordBytes.Of([1, 2]));
        receiver.WaitForWords(2);

        int descriptor = Libc.Open(pty.Port, Libc.ReadWrite | Libc.NoControllingTerminal);
        Libc.TerminalSettings settings = default;
        Assert.Equal(0, Libc.Control(descriptor, Libc.GetTerminal, ref settings));
        Assert.Equal(0, Libc.Close(descriptor));

        Assert.Equal((uint)baud, settings.OutputRate);
        Assert.Equal((uint)baud, settings.InputRate);
    }

    [Fact]
    public void Run_EveryByte_ComesAsItIs()
    {
        using Pty pty = new();
        WatchedReceiver receiver = new();
        byte[] all = [.. Enumerable.Range(0, 256).Select(i => (byte)i)];
        using SourceRun run = new(new SerialSource(pty.Port, null, WordBytes.Decoder), receiver);

        pty.Write(all);
        receiver.WaitForWords(128);

        Assert.Equal(all, MemoryMarshal.AsBytes(receiver.Words.AsSpan()).ToArray());
    }

    [Fact]
    public void Run_Tap_GetsTheBytesAsTheyCame()
    {
        using Pty pty = new();
        WatchedReceiver receiver = new();
        KeptBytes tap = new();
        using SourceRun run = new(new SerialSource(pty.Port, null, WordBytes.Decoder) { Tap = tap }, receiver);

        pty.Write([1, 0, 2, 0, 3]);
        receiver.WaitForWords(2);
        pty.Write([0, 4, 0]);
        receiver.WaitForWords(4);
        run.Stop();

        Assert.Equal([1, 0, 2, 0, 3, 0, 4, 0], tap.Bytes);
    }

    [Fact]
    public void Run_UnpluggedForGood_IsAFaultBehindTheLastScan()
    {
        // By a link, since the number of a pseudo-terminal that was closed is given to the next one.
        using RecordingFolder folder = new();
        string port = folder.File("meter");
        using Pty pty = new();
        Plug(port, pty);
        WatchedReceiver receiver = new();
        using SourceRun run = new(new SerialSource(port, new SerialOptions { ReplugWait = TimeSpan.FromMilliseconds(50) }, WordBytes.Decoder), receiver);
        pty.Write(WordBytes.Of([1, 2]));
        receiver.WaitForWords(2);

        File.Delete(port);
        pty.Dispose();
        run.WaitForEnd();

        SourceException exception = Assert.IsType<SourceException>(run.Fault);
        Assert.Equal(SourceFailure.Unplugged, exception.Failure);
        Assert.Contains("within 0.05 s", exception.Message, StringComparison.Ordinal);
        Assert.Equal([1, 2], receiver.Words);
    }

    [Theory]
    [InlineData(false)]
    [InlineData(true)]
    public void Run_UnpluggedAndPluggedInAgain_GoesOnBehindABreakAndIsCounted(bool folderGoesToo)
    {
        using RecordingFolder folder = new();
        string ports = folder.File("by-id");
        string port = Path.Combine(ports, "meter");
        WatchedReceiver receiver = new();
        KeptBytes tap = new();
        using Pty first = new();
        using Pty second = new();
        Plug(port, first);
        using SourceRun run = new(new SerialSource(port, new SerialOptions { ReplugWait = Timeout.InfiniteTimeSpan }, WordBytes.Decoder) { Tap = tap }, receiver);
        first.Write(WordBytes.Of([1, 2]));
        receiver.WaitForWords(2);

        // Pulled: the port's name goes, and where it was the last one its folder too. Plugged in again as another device.
        if (folderGoesToo) Directory.Delete(ports, recursive: true);
        else File.Delete(port);
        first.Dispose();
        Plug(port, second);
        second.Write(WordBytes.Of([3, 4]));
        receiver.WaitForWords(4);
        TimeSpan stopped = run.Stop();

        Assert.Null(run.Fault);
        Assert.Equal([1, 2, 3, 4], receiver.Words);
        Assert.Equal(["describe", $"break {GapCause.Link} 0"], receiver.Events);
        Assert.Equal(1, run.Source.Reconnections);
        Assert.Equal(1, tap.Interruptions);
        Assert.InRange(stopped, TimeSpan.Zero, TimeSpan.FromSeconds(5));
    }

    // The folder comes back at every moment of the look for it.
    [Fact]
    public void Run_FolderOfThePortComesAndGoesManyTimes_MissesNoReplug()
    {
        const int rounds = 150;
        Random random = new(1);
        using RecordingFolder folder = new();
        string ports = folder.File("by-id"), port = Path.Combine(ports, "meter");
        WatchedReceiver receiver = new();
        Pty device = new();
        Plug(port, device);
        using SourceRun run = new(new SerialSource(port, new SerialOptions { ReplugWait = Timeout.InfiniteTimeSpan }, WordBytes.Decoder), receiver);
        for (int round = 0; round < rounds; round++)
        {
            device.Write(WordBytes.Of([1, 2]));
            receiver.WaitForWords(2 * (round + 1));
            Directory.Delete(ports, recursive: true);
            Pty next = new();
            device.Dispose();
            device = next;
            Thread.SpinWait(random.Next(6_000));
            Directory.CreateDirectory(ports);
            Thread.SpinWait(random.Next(6_000));
            Plug(port, device);
        }

        device.Write(WordBytes.Of([3, 4]));
        receiver.WaitForWords(2 * (rounds + 1));
        device.Dispose();

        Assert.Equal(rounds, run.Source.Reconnections);
    }

    [Fact]
    public void Run_PortGivesNothingAfterAReplug_IsTriedAgainOnlyWhenSomethingChanges()
    {
        using RecordingFolder folder = new();
        string port = folder.File("meter");
        using Pty first = new();
        Pty second = new();
        using Pty third = new();
        Plug(port, first);
        WatchedReceiver receiver = new();
        using SourceRun run = new(new SerialSource(port, new SerialOptions { ReplugWait = Timeout.InfiniteTimeSpan }, WordBytes.Decoder), receiver);
        first.Write(WordBytes.Of([1, 2]));
        receiver.WaitForWords(2);

        // The second device goes away before it has said anything: no reconnection.
        File.Delete(port);
        first.Dispose();
        Plug(port, second);
        run.WaitUntilAsleep();
        File.Delete(port);
        second.Dispose();
        run.WaitUntilAsleep();
        Plug(port, third);
        third.Write(WordBytes.Of([3, 4]));
        receiver.WaitForWords(4);

        Assert.Equal([1, 2, 3, 4], receiver.Words);
        Assert.Equal(1, run.Source.Reconnections);
    }

    [Fact]
    public void Run_StoppedWhileTheDeviceIsUnplugged_Ends()
    {
        using RecordingFolder folder = new();
        string port = folder.File("meter");
        using Pty pty = new();
        Plug(port, pty);
        WatchedReceiver receiver = new();
        using SourceRun run = new(new SerialSource(port, new SerialOptions { ReplugWait = Timeout.InfiniteTimeSpan }, WordBytes.Decoder), receiver);
        pty.Write(WordBytes.Of([1, 2]));
        receiver.WaitForWords(2);

        File.Delete(port);
        pty.Dispose();
        run.WaitUntilAsleep();
        run.Stop();

        Assert.Null(run.Fault);
        Assert.Equal(0, run.Source.Reconnections);
    }

    [Fact]
    public void Run_PlatformClass_TellsTheSameReasons()
    {
        Assert.Equal(SourceFailure.Missing, FailureOf("/dev/no-such-port"));
        Assert.Equal(SourceFailure.IsFolder, FailureOf("/dev"));
        Assert.Equal(SourceFailure.NotTerminal, FailureOf("/dev/null"));

        static SourceFailure FailureOf(string port) =>
            Assert.Throws<SourceException>(() => Run(new SerialSource(port, null, WordBytes.Decoder) { UsePlatformClass = true })).Failure;
    }

    private static void Run(SerialSource source) => source.Run(new WatchedReceiver(), CancellationToken.None);

    private static void Plug(string name, Pty pty)
    {
        Directory.CreateDirectory(Path.GetDirectoryName(name)!);
        File.CreateSymbolicLink(name, pty.Port);
    }
}
