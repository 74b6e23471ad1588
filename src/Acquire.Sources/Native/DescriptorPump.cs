using System.Runtime.InteropServices;
using System.Runtime.Versioning;

namespace Acquire.Sources.Native;

/// <summary>Reads blocks of bytes from a descriptor until it ends, fails or is stopped. Allocates nothing, waits in the kernel only.</summary>
[SupportedOSPlatform("linux")]
internal static class DescriptorPump
{
    /// <summary>Room for one block; a terminal gives at most 4,095 bytes at once, a pipe up to 64 KiB.</summary>
    public const int BlockBytes = 65_536;

    /// <summary>Reads until nothing more comes.</summary>
    /// <param name="descriptor">What is read; this thread's alone.</param>
    /// <param name="neverBlocks">It was opened non-blocking, so it is read first and waited for only when it is empty. One that may block is waited for before each read.</param>
    /// <param name="stop">Ends the wait.</param>
    /// <param name="give">Gets each block; the span is valid during the call.</param>
    /// <param name="buffer">Room for one block.</param>
    /// <param name="errno">Why it failed; 0 otherwise.</param>
    public static PumpEnd Run(int descriptor, bool neverBlocks, StopEvent stop, Action<ReadOnlySpan<byte>> give, Span<byte> buffer, out int errno)
    {
        errno = 0;
        bool wait = !neverBlocks;
        while (!stop.IsSet)
        {
            if (wait && !Wait(descriptor, stop, out errno)) return errno == 0 ? PumpEnd.Stopped : PumpEnd.Failed;

            // A hang-up shows together with the last bytes: they are read before the end is believed.
            nint count = Libc.Read(descriptor, ref MemoryMarshal.GetReference(buffer), buffer.Length);
            if (count > 0)
            {
                wait = !neverBlocks;
                give(buffer[..(int)count]);
                continue;
            }

            if (count == 0) return PumpEnd.Ended;
            int error = Marshal.GetLastPInvokeError();
            if (error == Errno.Interrupted) continue;
            if (error != Errno.Again)
            {
                errno = error;
                return PumpEnd.Failed;
            }

            wait = true;
        }

        return PumpEnd.Stopped;
    }

    /// <summary>Waits until a descriptor is readable, hung up or in error; false when stopped first.</summary>
    public static bool Wait(int descriptor, StopEvent stop, out int errno, int timeoutMs = -1)
    {
        Span<Libc.PollEntry> entries =
        [
            new() { Descriptor = stop.Descriptor, Wanted = Libc.PollIn },
            new() { Descriptor = descriptor, Wanted = Libc.PollIn },
        ];
        errno = 0;
        while (Libc.Poll(ref MemoryMarshal.GetReference(entries), (nuint)entries.Length, timeoutMs) < 0)
        {
            errno = Marshal.GetLastPInvokeError();
            if (errno != Errno.Interrupted) return false;
            errno = 0;
        }

        return entries[0].Found == 0;
    }
}
