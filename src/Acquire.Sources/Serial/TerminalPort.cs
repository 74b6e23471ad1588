using System.Runtime.InteropServices;
using System.Runtime.Versioning;
using Acquire.Sources.Native;

namespace Acquire.Sources.Serial;

/// <summary>An open serial port on Linux in raw mode, held against others. One thread.</summary>
[SupportedOSPlatform("linux")]
internal sealed class TerminalPort : IDisposable
{
    private const uint EightBits = 0x30;
    private const uint Receive = 0x80;
    private const uint IgnoreModemLines = 0x800;
    private const uint RateAsNumber = 0x1000;
    private const uint ReadyLinesHoldBack = 0x8000_0000;
    private const int DtrLine = 0x2;
    private const int RtsLine = 0x4;

    // A receiver follows a sender that is off by less than about half a bit in ten.
    private const double MostRateError = 0.03;

    private TerminalPort(int descriptor) => Descriptor = descriptor;

    public int Descriptor { get; }

    /// <summary>Opens, takes and sets a port.</summary>
    /// <exception cref="SourceException">It cannot be had; the message names it, the reason and the cure.</exception>
    public static TerminalPort Open(string name, string path, SerialOptions options)
    {
        int descriptor;
        do
        {
            descriptor = Libc.Open(path, Libc.ReadWrite | Libc.NoControllingTerminal | Libc.NonBlocking | Libc.CloseOnExec);
        }
        while (descriptor < 0 && Marshal.GetLastPInvokeError() == Errno.Interrupted);
        if (descriptor < 0) throw SerialFailures.OfOpen(name, Marshal.GetLastPInvokeError());
        TerminalPort port = new(descriptor);
        try
        {
            port.Set(name, options);
            return port;
        }
        catch
        {
            port.Dispose();
            throw;
        }
    }

    public void Dispose() => _ = Libc.Close(Descriptor);

    private void Set(string name, SerialOptions options)
    {
        Libc.TerminalSettings settings = default;
        if (Libc.Control(Descriptor, Libc.GetTerminal, ref settings) < 0) throw SerialFailures.OfOpen(name, Marshal.GetLastPInvokeError());

        // The kernel's own mark of a taken port does not bind root and outlives us on a pseudo-terminal; a lock goes with the descriptor.
        if (Libc.Lock(Descriptor, Libc.LockExclusive | Libc.LockWithoutWaiting) < 0) throw SerialFailures.OfOpen(name, Errno.Busy);

        settings.InputFlags = settings.OutputFlags = settings.LocalFlags = 0;
        settings.ControlFlags = EightBits | Receive | IgnoreModemLines | RateAsNumber | (options.HardwareFlow ? ReadyLinesHoldBack : 0);
        settings.Characters[Libc.ControlCharacters.Minimum] = 1;
        settings.Characters[Libc.ControlCharacters.Time] = 0;
        settings.InputRate = settings.OutputRate = (uint)options.Baud;
        if (Libc.Control(Descriptor, Libc.SetTerminal, ref settings) < 0) throw SerialFailures.OfSettings(name, options, Marshal.GetLastPInvokeError());

        // A driver that cannot do a rate takes another one without a word.
        if (Libc.Control(Descriptor, Libc.GetTerminal, ref settings) == 0 && Math.Abs((settings.OutputRate / (double)options.Baud) - 1) > MostRateError)
            throw SerialFailures.OfRate(name, options, settings.OutputRate);
        SetLine(DtrLine, options.Dtr);
        SetLine(RtsLine, options.Rts);
    }

    // A port without such lines has nothing to set: no failure.
    private void SetLine(int line, bool? on)
    {
        if (on is { } state) _ = Libc.Control(Descriptor, state ? Libc.SetModemLines : Libc.ClearModemLines, line);
    }
}
