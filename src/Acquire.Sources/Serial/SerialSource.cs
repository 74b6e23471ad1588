using System.Runtime.Versioning;
using Acquire.Capture;
using Acquire.Link;
using Acquire.Sources.Native;

namespace Acquire.Sources.Serial;

/// <summary>Bytes from a serial port, or from anything that looks like one: a USB device class, a pseudo-terminal.</summary>
/// <remarks>
/// On Linux the port is read by the kernel's own calls: any rate, no cap on reads, stopped by an event, and a device that is unplugged and plugged in again
/// is taken up where it left off, behind a break. Elsewhere the platform's class is used, and unplugged is the end.
/// Name a port by a link that stays the same, such as those in /dev/serial/by-id: a device that comes back may have another number.
/// </remarks>
public sealed class SerialSource : ByteSource
{
    private readonly string _port;
    private readonly SerialOptions _options;
    private bool _gaveBytes;
    private bool _reopened;

    /// <summary>Makes a source; the port is not touched before <see cref="ByteSource.Run"/>.</summary>
    /// <param name="port">Path of the port's device file, or the port's name elsewhere.</param>
    /// <param name="options">How the port is used; null for the defaults.</param>
    /// <param name="decoder">Makes the decoder for a receiver, once, when the source runs.</param>
    /// <exception cref="ArgumentException">The port's name is empty, or an option is outside its range.</exception>
    public SerialSource(string port, SerialOptions? options, Func<IScanReceiver, IByteDecoder> decoder)
        : base($"serial:{port}", decoder)
    {
        ArgumentException.ThrowIfNullOrEmpty(port);
        _port = port;
        _options = options ?? new SerialOptions();
        _options.Validate();
    }

    /// <summary>A device does not wait: false.</summary>
    public override bool CanWait => false;

    /// <summary>Uses the platform's class where the kernel's calls would be used; for tests.</summary>
    internal bool UsePlatformClass { get; init; } = !OperatingSystem.IsLinux();

    /// <inheritdoc/>
    protected override void RunBytes(CancellationToken stop)
    {
        if (!UsePlatformClass && OperatingSystem.IsLinux()) RunTerminal(stop);
        else PlatformPort.Run(Name, _port, _options, Give, stop);
    }

    [SupportedOSPlatform("linux")]
    private void RunTerminal(CancellationToken stop)
    {
        using StopEvent signal = new(stop);
        byte[] buffer = GC.AllocateUninitializedArray<byte>(DescriptorPump.BlockBytes);
        TerminalPort? port = TerminalPort.Open(Name, _port, _options);
        while (port is not null)
        {
            PumpEnd end;
            _gaveBytes = false;
            using (port) end = DescriptorPump.Run(port.Descriptor, neverBlocks: true, signal, Take, buffer, out _);
            if (end == PumpEnd.Stopped) return;

            // Ended or failed, however the driver puts it: the device is gone. Closed at once, since an open port keeps its number from the device that comes back.
            if (_options.ReplugWait == TimeSpan.Zero) throw SerialFailures.Unplugged(Name, TimeSpan.Zero);

            // A name that is still there but leads to nothing that gives bytes is that of a device which is just going away, or a broken one: it is not tried again before something changes.
            port = PortWatch.Reopen(Name, _port, _options, signal, tryAtOnce: _gaveBytes);
            _reopened = true;
        }
    }

    private void Take(ReadOnlySpan<byte> bytes)
    {
        _gaveBytes = true;
        if (_reopened)
        {
            _reopened = false;
            Reconnected(GapCause.Link);
        }

        Give(bytes);
    }
}
