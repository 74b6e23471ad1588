using System.IO.Ports;

namespace Acquire.Sources.Serial;

/// <summary>A serial port through the platform's class, where there is no reader of our own.</summary>
internal static class PlatformPort
{
    // At least 4,096: the class makes about 1,000 reads a second whatever their size.
    private const int BlockBytes = 65_536;

    /// <summary>Opens, gives every block, closes.</summary>
    /// <exception cref="SourceException">The port cannot be had, or the device went away.</exception>
    public static void Run(string name, string path, SerialOptions options, Action<ReadOnlySpan<byte>> give, CancellationToken stop)
    {
        using SerialPort port = Open(name, path, options);
        Stream stream = port.BaseStream;

        // The class does not honour a token everywhere; a closed port ends its read everywhere.
        using CancellationTokenRegistration closing = stop.UnsafeRegister(static state => Close((SerialPort)state!), port);
        byte[] buffer = new byte[BlockBytes];
        while (!stop.IsCancellationRequested)
        {
            int count;
            try
            {
                // Asynchronous, so that a driver that never comes back holds no thread of the host.
                count = stream.ReadAsync(buffer, stop).AsTask().GetAwaiter().GetResult();
            }
            catch (Exception exception) when (exception is IOException or ObjectDisposedException or InvalidOperationException or OperationCanceledException or UnauthorizedAccessException)
            {
                // The class says so once, after which every read would hang: this end is final.
                if (stop.IsCancellationRequested) return;
                throw SerialFailures.Unplugged(name, TimeSpan.Zero, exception);
            }

            if (count == 0) throw SerialFailures.Unplugged(name, TimeSpan.Zero);
            give(buffer.AsSpan(0, count));
        }
    }

    private static SerialPort Open(string name, string path, SerialOptions options)
    {
        // The class gives the same exception for most failures, so what can be asked beforehand is asked.
        if (Directory.Exists(path)) throw SerialFailures.OfOpen(name, Native.Errno.IsDirectory);
        SerialPort port = new(path, options.Baud, Parity.None, 8, StopBits.One)
        {
            Handshake = options.HardwareFlow ? Handshake.RequestToSend : Handshake.None,
        };
        try
        {
            if (options.Dtr is { } dtr) port.DtrEnable = dtr;
            if (options.Rts is { } rts) port.RtsEnable = rts;
            port.Open();
            return port;
        }
        catch (Exception exception) when (exception is IOException or UnauthorizedAccessException or ArgumentException or InvalidOperationException)
        {
            port.Dispose();
            throw OfOpen(name, path, options, exception);
        }
    }

    private static SourceException OfOpen(string name, string path, SerialOptions options, Exception exception)
    {
        // Where devices are files the class puts the reason into the exception below, as an error number or one of its own.
        if (OperatingSystem.IsWindows())
        {
            if (exception is UnauthorizedAccessException) return SerialFailures.Busy(name, exception);
            if (exception is FileNotFoundException) return SerialFailures.Missing(name);
        }
        else
        {
            if (!File.Exists(path)) return SerialFailures.Missing(name);
            const int LowBits = 0xFFFF;
            switch ((exception.InnerException?.HResult ?? exception.HResult) & LowBits)
            {
                case Native.Errno.Busy: return SerialFailures.Busy(name, exception);
                case Native.Errno.Access: return SerialFailures.NotPermitted(name, exception);
                case Native.Errno.NotTerminal: return SerialFailures.NotTerminal(name, exception);
            }
        }

        return exception is ArgumentException
            ? new(SourceFailure.Unsupported, $"{name}: the port does not take these settings ({options.Baud:N0} baud); give others.", exception)
            : new(SourceFailure.Unreadable, $"{name}: the port could not be opened ({exception.Message.ReplaceLineEndings(" ")}); unplug the device, plug it in again and retry.", exception);
    }

    private static void Close(SerialPort port)
    {
        try
        {
            port.Close();
        }
        catch (Exception exception) when (exception is IOException or InvalidOperationException or UnauthorizedAccessException)
        {
            // The device went away at the same moment; it is closed either way.
        }
    }
}
