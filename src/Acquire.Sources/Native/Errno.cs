namespace Acquire.Sources.Native;

/// <summary>Error numbers of Linux (asm-generic/errno-base.h and errno.h).</summary>
internal static class Errno
{
    public const int NotPermitted = 1;
    public const int NoEntry = 2;
    public const int Interrupted = 4;
    public const int InputOutput = 5;
    public const int NoDevice = 6;
    public const int BadDescriptor = 9;
    public const int Again = 11;
    public const int Access = 13;
    public const int Busy = 16;
    public const int NoSuchDevice = 19;
    public const int NotDirectory = 20;
    public const int IsDirectory = 21;
    public const int Invalid = 22;
    public const int NotTerminal = 25;
    public const int ReadOnlyFiles = 30;
    public const int NameTooLong = 36;
    public const int Loop = 40;
}
