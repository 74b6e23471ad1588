using System.Runtime.InteropServices;
using System.Runtime.Versioning;

namespace Acquire.Sources.Native;

/// <summary>Calls of the C library on Linux. Numbers are those of the kernel's generic headers: x64, arm64, arm, riscv64.</summary>
[SupportedOSPlatform("linux")]
internal static partial class Libc
{
    public const int ReadWrite = 0x2;
    public const int NoControllingTerminal = 0x100;
    public const int NonBlocking = 0x800;
    public const int CloseOnExec = 0x80000;

    public const short PollIn = 0x1;
    public const short PollError = 0x8;
    public const short PollHangUp = 0x10;

    public const int LockExclusive = 2;
    public const int LockWithoutWaiting = 4;

    public const uint GetTerminal = 0x802C542A;
    public const uint SetTerminal = 0x402C542B;
    public const uint SetModemLines = 0x5416;
    public const uint ClearModemLines = 0x5417;

    public const uint WatchAttributes = 0x4;
    public const uint WatchMovedTo = 0x80;
    public const uint WatchCreated = 0x100;
    public const uint WatchDeletedItself = 0x400;

    private const string Library = "libc";

    [LibraryImport(Library, EntryPoint = "open", SetLastError = true, StringMarshalling = StringMarshalling.Utf8)]
    public static partial int Open(string path, int flags);

    [LibraryImport(Library, EntryPoint = "close", SetLastError = true)]
    public static partial int Close(int descriptor);

    [LibraryImport(Library, EntryPoint = "read", SetLastError = true)]
    public static partial nint Read(int descriptor, ref byte buffer, nint length);

    [LibraryImport(Library, EntryPoint = "write", SetLastError = true)]
    public static partial nint Write(int descriptor, in ulong value, nint length);

    [LibraryImport(Library, EntryPoint = "poll", SetLastError = true)]
    public static partial int Poll(ref PollEntry entries, nuint count, int timeoutMs);

    [LibraryImport(Library, EntryPoint = "flock", SetLastError = true)]
    public static partial int Lock(int descriptor, int operation);

    [LibraryImport(Library, EntryPoint = "ioctl", SetLastError = true)]
    public static partial int Control(int descriptor, nuint request, ref TerminalSettings settings);

    [LibraryImport(Library, EntryPoint = "ioctl", SetLastError = true)]
    public static partial int Control(int descriptor, nuint request, in int value);

    [LibraryImport(Library, EntryPoint = "eventfd", SetLastError = true)]
    public static partial int EventDescriptor(uint value, int flags);

    [LibraryImport(Library, EntryPoint = "inotify_init1", SetLastError = true)]
    public static partial int WatchInit(int flags);

    [LibraryImport(Library, EntryPoint = "inotify_add_watch", SetLastError = true, StringMarshalling = StringMarshalling.Utf8)]
    public static partial int WatchAdd(int descriptor, string path, uint mask);

    /// <summary>One descriptor that <see cref="Poll"/> waits for.</summary>
    [StructLayout(LayoutKind.Sequential)]
    public struct PollEntry
    {
        public int Descriptor;
        public short Wanted;
        public short Found;
    }

    /// <summary>The kernel's terminal settings with rates as numbers (termios2).</summary>
    [StructLayout(LayoutKind.Sequential)]
    public struct TerminalSettings
    {
        public uint InputFlags;
        public uint OutputFlags;
        public uint ControlFlags;
        public uint LocalFlags;
        public byte Line;
        public ControlCharacters Characters;
        public uint InputRate;
        public uint OutputRate;
    }

    /// <summary>The 19 control characters of <see cref="TerminalSettings"/>.</summary>
    [System.Runtime.CompilerServices.InlineArray(19)]
    public struct ControlCharacters
    {
        public const int Time = 5;
        public const int Minimum = 6;

        private byte _first;
    }
}
