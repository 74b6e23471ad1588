using System.Runtime.InteropServices;

namespace Acquire.Sources.Tests.Doubles;

/// <summary>A real pseudo-terminal: the test holds the device's end, a source opens the port.</summary>
internal sealed partial class Pty : IDisposable
{
    private const int SetFlags = 4, NonBlocking = 0x800, Again = 11;
    private const short PollOut = 4;
    private readonly Lock _gate = new();
    private readonly int _master;
    private bool _closed;

    public Pty()
    {
        if (Open(out _master, out int slave, 0, 0, 0) != 0 || Control(_master, SetFlags, NonBlocking) != 0) throw new InvalidOperationException(Marshal.GetLastPInvokeErrorMessage());
        byte[] name = new byte[128];
        Assert.Equal(0, NameOf(_master, name, name.Length));
        Port = System.Text.Encoding.UTF8.GetString(name, 0, Array.IndexOf(name, (byte)0));
        byte[] settings = new byte[256];
        Assert.Equal(0, GetSettings(slave, settings));
        MakeRaw(settings);
        Assert.Equal(0, SetSettings(slave, 0, settings));

        // With our own descriptor open nobody would ever see a hang-up.
        Assert.Equal(0, Close(slave));
    }

    /// <summary>Path of the port.</summary>
    public string Port { get; }

    /// <summary>Sends; waits while the port's own memory is full.</summary>
    /// <returns>False when the plug was pulled meanwhile.</returns>
    public bool Write(ReadOnlySpan<byte> bytes)
    {
        while (!bytes.IsEmpty)
        {
            // A write that waits in the kernel would outlive the closing of its descriptor.
            lock (_gate)
            {
                if (_closed) return false;
                nint count = Write(_master, in MemoryMarshal.GetReference(bytes), bytes.Length);
                if (count > 0) bytes = bytes[(int)count..];
                if (count >= 0) continue;
                if (Marshal.GetLastPInvokeError() != Again) return false;
            }

            PollEntry entry = new() { Descriptor = _master, Wanted = PollOut };
            _ = Poll(ref entry, 1, 2);
        }

        return true;
    }

    /// <summary>Pulls the plug.</summary>
    public void Dispose()
    {
        lock (_gate)
        {
            if (_closed) return;
            _closed = true;
            _ = Close(_master);
        }
    }

    [StructLayout(LayoutKind.Sequential)]
    private struct PollEntry
    {
        public int Descriptor;
        public short Wanted;
        public short Found;
    }

    [LibraryImport("libc", EntryPoint = "poll")]
    private static partial int Poll(ref PollEntry entries, nuint count, int timeoutMs);

    [LibraryImport("libc", EntryPoint = "fcntl")]
    private static partial int Control(int descriptor, int command, int flags);

    [LibraryImport("libc", EntryPoint = "openpty", SetLastError = true)]
    private static partial int Open(out int master, out int slave, nint name, nint settings, nint size);

    [LibraryImport("libc", EntryPoint = "ptsname_r")]
    private static partial int NameOf(int master, [Out] byte[] name, nint length);

    [LibraryImport("libc", EntryPoint = "tcgetattr")]
    private static partial int GetSettings(int descriptor, [In, Out] byte[] settings);

    [LibraryImport("libc", EntryPoint = "tcsetattr")]
    private static partial int SetSettings(int descriptor, int when, [In] byte[] settings);

    [LibraryImport("libc", EntryPoint = "cfmakeraw")]
    private static partial void MakeRaw([In, Out] byte[] settings);

    [LibraryImport("libc", EntryPoint = "write", SetLastError = true)]
    private static partial nint Write(int descriptor, in byte bytes, nint length);

    [LibraryImport("libc", EntryPoint = "close")]
    private static partial int Close(int descriptor);
}
