using System.Runtime.InteropServices;
using Acquire.Harness.Shell;

namespace Acquire.Harness.Instrument;

/// <summary>The master's side of a pseudo-terminal: what is written here is read by whoever opens its name. Linux only.</summary>
internal sealed partial class PseudoTerminal : IDisposable
{
    private const int ReadWrite = 2, NoControllingTerminal = 0x100, NonBlocking = 0x800, CloseOnExec = 0x80000;
    private const int Again = 11, Interrupted = 4, InputOutput = 5;
    private const short PollOut = 4, PollHangUp = 0x10;
    private const nuint BytesToRead = 0x541B;
    private const int TerminalSettingsBytes = 256;

    private readonly int _master;
    private bool _closed;

    /// <summary>Opens a pair and sets it raw: no echo, no line ends, every byte as it is.</summary>
    /// <exception cref="CommandFailure">There is no such thing on this system, or none is free.</exception>
    public PseudoTerminal()
    {
        if (!OperatingSystem.IsLinux())
            throw CommandFailure.Usage("--pty", "pseudo-terminals are served on Linux only; write the bytes to a file with --link and --out");
        _master = OpenMaster(ReadWrite | NoControllingTerminal | CloseOnExec | NonBlocking);
        if (_master < 0 || Grant(_master) < 0 || Unlock(_master) < 0) throw Failed("cannot be opened");
        byte[] name = new byte[256];
        if (NameOf(_master, name, (nuint)name.Length) != 0) throw Failed("has no name");
        Name = System.Text.Encoding.UTF8.GetString(name, 0, Array.IndexOf(name, (byte)0));

        int slave = Open(Name, ReadWrite | NoControllingTerminal | CloseOnExec);
        byte[] settings = new byte[TerminalSettingsBytes];
        if (slave < 0 || GetSettings(slave, settings) < 0) throw Failed("cannot be set up");
        MakeRaw(settings);
        if (SetSettings(slave, 0, settings) < 0) throw Failed("cannot be set up");

        // Only a pair whose other side was open once tells when nobody has it open.
        _ = Close(slave);
    }

    /// <summary>Name to open.</summary>
    public string Name { get; }

    /// <summary>Whether somebody has the other side open.</summary>
    public bool IsOpen
    {
        get
        {
            PollEntry entry = new() { File = _master, Wanted = PollOut };
            return Poll(ref entry, 1, 0) >= 0 && (entry.Found & PollHangUp) == 0;
        }
    }

    /// <summary>Writes as much as there is room for, and waits a little if there is none.</summary>
    /// <param name="bytes">Bytes.</param>
    /// <param name="wait">Longest wait.</param>
    /// <returns>Bytes written; 0 is no room.</returns>
    public int Write(ReadOnlySpan<byte> bytes, TimeSpan wait)
    {
        while (true)
        {
            nint count = WriteBytes(_master, bytes, (nuint)bytes.Length);
            if (count >= 0) return (int)count;
            int error = Marshal.GetLastPInvokeError();
            if (error == Interrupted) continue;
            if (error is not (Again or InputOutput)) throw Failed("cannot be written");
            PollEntry entry = new() { File = _master, Wanted = PollOut };
            if (Poll(ref entry, 1, (int)wait.TotalMilliseconds) <= 0 || (entry.Found & PollHangUp) != 0) return 0;
        }
    }

    /// <summary>Waits until whoever has the other side open has read everything: closing would throw away the rest.</summary>
    /// <param name="longest">Longest wait.</param>
    public void Drain(TimeSpan longest)
    {
        long until = Environment.TickCount64 + (long)longest.TotalMilliseconds;
        int empty = 0;

        // The kernel hands bytes on in two steps, and a busy machine takes its time between them; seen empty for so long, both are.
        while (IsOpen && empty < 20 && Environment.TickCount64 < until)
        {
            int slave = Open(Name, ReadWrite | NoControllingTerminal | CloseOnExec | NonBlocking);
            if (slave < 0) return;
            int waiting = 0;
            _ = Control(slave, BytesToRead, ref waiting);
            _ = Close(slave);
            empty = waiting == 0 ? empty + 1 : 0;
            Thread.Sleep(10);
        }
    }

    public void Dispose()
    {
        if (_closed) return;
        _closed = true;
        _ = Close(_master);
    }

    private static CommandFailure Failed(string what) =>
        CommandFailure.Unreadable("--pty", $"the pseudo-terminal {what}: {Marshal.GetLastPInvokeErrorMessage()}");

    [StructLayout(LayoutKind.Sequential)]
    private struct PollEntry
    {
        public int File;
        public short Wanted;
        public short Found;
    }

    [LibraryImport("libc", EntryPoint = "posix_openpt", SetLastError = true)]
    private static partial int OpenMaster(int flags);

    [LibraryImport("libc", EntryPoint = "grantpt", SetLastError = true)]
    private static partial int Grant(int master);

    [LibraryImport("libc", EntryPoint = "unlockpt", SetLastError = true)]
    private static partial int Unlock(int master);

    [LibraryImport("libc", EntryPoint = "ptsname_r", SetLastError = true)]
    private static partial int NameOf(int master, [Out] byte[] name, nuint length);

    [LibraryImport("libc", EntryPoint = "open", SetLastError = true, StringMarshalling = StringMarshalling.Utf8)]
    private static partial int Open(string path, int flags);

    [LibraryImport("libc", EntryPoint = "close")]
    private static partial int Close(int file);

    [LibraryImport("libc", EntryPoint = "write", SetLastError = true)]
    private static partial nint WriteBytes(int file, ReadOnlySpan<byte> bytes, nuint count);

    [LibraryImport("libc", EntryPoint = "poll", SetLastError = true)]
    private static partial int Poll(ref PollEntry entries, nuint count, int timeoutMilliseconds);

    [LibraryImport("libc", EntryPoint = "ioctl", SetLastError = true)]
    private static partial int Control(int file, nuint request, ref int value);

    [LibraryImport("libc", EntryPoint = "tcgetattr", SetLastError = true)]
    private static partial int GetSettings(int file, [In, Out] byte[] settings);

    [LibraryImport("libc", EntryPoint = "tcsetattr", SetLastError = true)]
    private static partial int SetSettings(int file, int when, [In] byte[] settings);

    [LibraryImport("libc", EntryPoint = "cfmakeraw")]
    private static partial void MakeRaw([In, Out] byte[] settings);
}
