using System.Diagnostics;
using Acquire.Capture;
using Acquire.Harness.Instrument;
using Acquire.Link;

namespace Acquire.Harness.Tests.Live;

/// <summary>Sends scans that carry their own position over a real pseudo-terminal, as fast as a device would, and knows what it has sent.</summary>
internal sealed class NumberedSender : IDisposable
{
    private static readonly TimeSpan Wait = TimeSpan.FromMilliseconds(5);

    private readonly PseudoTerminal _terminal = new();
    private readonly Thread _thread;
    private readonly double _scansPerSecond;
    private readonly int _framesPerOverrun;
    private volatile bool _over;
    private long _sent;

    /// <summary>Begins when somebody opens the terminal.</summary>
    /// <param name="scansPerSecond">Scans a second; a reader that is slower holds it back.</param>
    /// <param name="framesPerOverrun">Frames after which the device says that it lost some scans; 0 is never.</param>
    public NumberedSender(double scansPerSecond, int framesPerOverrun = 0)
    {
        _scansPerSecond = scansPerSecond;
        _framesPerOverrun = framesPerOverrun;
        _thread = new Thread(Run) { IsBackground = true };
        _thread.Start();
    }

    public string Terminal => _terminal.Name;

    /// <summary>Position behind the last scan that was written whole.</summary>
    public long Sent => Volatile.Read(ref _sent);

    public void Dispose()
    {
        _over = true;
        _thread.Join();
        _terminal.Dispose();
    }

    /// <summary>Hangs up, as a pulled plug does.</summary>
    public void HangUp() => Dispose();

    private void Run()
    {
        LinkEncoder encoder = new(new LinkEncoderOptions { Description = new() { Scan = new ScanFormat { Bits = 16, ScanRateHz = _scansPerSecond }, Device = "numbers" } });
        FrameBuffer frame = new();
        ushort[] scans = new ushort[2 * encoder.ScansPerFrame];
        while (!_over && !_terminal.IsOpen) Thread.Sleep(Wait);
        long began = Stopwatch.GetTimestamp(), described = 0, frames = 0;
        while (!_over && _terminal.IsOpen)
        {
            double elapsed = Stopwatch.GetElapsedTime(began).TotalSeconds;
            long position = (long)encoder.Position;
            if (position >= elapsed * _scansPerSecond)
            {
                Thread.Sleep(1);
                continue;
            }

            if (elapsed >= described)
            {
                described = (long)elapsed + 1;
                encoder.WriteDescription(frame);
            }

            if (_framesPerOverrun > 0 && ++frames % _framesPerOverrun == 0)
            {
                encoder.WriteOverrun(7, frame);
                position += 7;
            }

            Number(scans, position);
            encoder.WriteScans(scans, frame);
            if (Push(frame.Written)) Volatile.Write(ref _sent, (long)encoder.Position);
            frame.Clear();
        }
    }

    private static void Number(ushort[] scans, long position)
    {
        for (int i = 0; i < scans.Length; i += 2, position++)
        {
            scans[i] = (ushort)position;
            scans[i + 1] = (ushort)(position >> 16);
        }
    }

    private bool Push(ReadOnlySpan<byte> bytes)
    {
        while (!bytes.IsEmpty)
        {
            if (_over || !_terminal.IsOpen) return false;
            bytes = bytes[_terminal.Write(bytes, Wait)..];
        }

        return true;
    }
}
