using System.Runtime.InteropServices;
using System.Runtime.Versioning;

namespace Acquire.Sources.Native;

/// <summary>A cancellation token as a descriptor, so that a wait for bytes ends at once when it is cancelled.</summary>
[SupportedOSPlatform("linux")]
internal sealed class StopEvent : IDisposable
{
    private readonly CancellationToken _stop;
    private readonly CancellationTokenRegistration _registration;

    public StopEvent(CancellationToken stop)
    {
        _stop = stop;
        Descriptor = Libc.EventDescriptor(0, Libc.NonBlocking | Libc.CloseOnExec);
        if (Descriptor < 0)
            throw new IOException($"No event could be made to stop with: {Marshal.GetLastPInvokeErrorMessage()}; close some files or raise the limit of open files.");
        _registration = stop.UnsafeRegister(static state => ((StopEvent)state!).Signal(), this);
    }

    /// <summary>Readable from the moment of the stop on.</summary>
    public int Descriptor { get; }

    public bool IsSet => _stop.IsCancellationRequested;

    public void Dispose()
    {
        // Waits for a signal that is being given on another thread: only then nobody uses the descriptor any more and its number may be given away.
        _registration.Dispose();
        _ = Libc.Close(Descriptor);
    }

    private void Signal() => _ = Libc.Write(Descriptor, 1UL, sizeof(ulong));
}
