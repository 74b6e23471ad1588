using System.Diagnostics;
using Acquire.Harness.Shell;

namespace Acquire.Harness.Instrument;

/// <summary>Serves a voice on a pseudo-terminal in real time.</summary>
/// <remarks>
/// The first scan comes when somebody opens the line. While nobody has it open time goes on and scans pass unheard, as with a device that talks to itself.
/// A listener that reads slowly gets everything later, unless the device is given a buffer that can run over.
/// </remarks>
/// <param name="terminal">Open terminal.</param>
/// <param name="voice">What is said.</param>
/// <param name="bytes">What the voice's line puts its bytes into.</param>
/// <param name="truth">What happened.</param>
/// <param name="stallTime">How long a stall lasts.</param>
/// <param name="bufferScans">Scans that the device can hold back; null is any number.</param>
internal sealed class VirtualInstrument(
    PseudoTerminal terminal, InstrumentVoice voice, FrameBuffer bytes, LineTruth truth, TimeSpan stallTime, long? bufferScans)
{
    private static readonly TimeSpan LookInterval = TimeSpan.FromMilliseconds(10);
    private static readonly TimeSpan DescribeInterval = TimeSpan.FromSeconds(1);

    // How long a listener has, once the instrument is stopped, to take what was said until then; at the bench's own end, to take the next bytes.
    private static readonly TimeSpan LastWords = TimeSpan.FromSeconds(2);

    // As much as a pseudo-terminal takes in one go; less costs calls, more waits longer for its turn.
    private const int BytesPerWrite = 16 << 10;

    private readonly double _scansPerTick = voice.Description.Scan.ScanRateHz!.Value / Stopwatch.Frequency;
    private long _began, _described;
    private bool _more = true;

    /// <summary>Speaks until the bench ends or the user stops it.</summary>
    /// <param name="cancel">Stops it; the end is said all the same.</param>
    public void Serve(CancellationToken cancel)
    {
        while (!cancel.IsCancellationRequested && !terminal.IsOpen) cancel.WaitHandle.WaitOne(LookInterval);
        _began = Stopwatch.GetTimestamp();
        Acquire.Link.LinkEncoder.WriteDelimiter(bytes);
        truth.Bytes++;
        while (_more && !cancel.IsCancellationRequested)
        {
            if (!terminal.IsOpen) Unheard(cancel);
            Speak(cancel);
            if (voice.Passed >= Due()) cancel.WaitHandle.WaitOne(1);
        }

        voice.End();
        Push(cancel);
        terminal.Drain(TimeSpan.FromSeconds(5));
    }

    private long Due() => (long)((Stopwatch.GetTimestamp() - _began) * _scansPerTick);

    private void Speak(CancellationToken cancel)
    {
        if (_described == 0 || Stopwatch.GetElapsedTime(_described) >= DescribeInterval)
        {
            voice.Describe();
            _described = Stopwatch.GetTimestamp();
        }

        long due = Due();
        if (bufferScans is { } room && due - voice.Passed > room)
        {
            long lost = due - voice.Passed - (room / 2);
            voice.Pass(lost, said: true);
            truth.ScansOverrun += lost;
        }

        while (_more && voice.Passed < due && bytes.Written.Length < BytesPerWrite)
        {
            _more = voice.Speak();
            if (!voice.TakeStall()) continue;
            Push(cancel);
            cancel.WaitHandle.WaitOne(stallTime);
        }

        Push(cancel);
    }

    private void Unheard(CancellationToken cancel)
    {
        bytes.Clear();
        while (!terminal.IsOpen && !cancel.IsCancellationRequested)
        {
            cancel.WaitHandle.WaitOne(LookInterval);
            long passed = Due() - voice.Passed;
            if (passed <= 0) continue;
            voice.Pass(passed, said: false);
            truth.ScansUnheard += passed;
        }

        _described = 0;
    }

    // What the truth counts as said goes out also when the instrument is stopped meanwhile: a listener under load is still reading.
    private void Push(CancellationToken cancel)
    {
        ReadOnlySpan<byte> rest = bytes.Written;
        long? waiting = null;
        while (!rest.IsEmpty && terminal.IsOpen)
        {
            int taken = terminal.Write(rest, LookInterval);
            rest = rest[taken..];
            bool stopped = cancel.IsCancellationRequested;
            if (taken > 0 && !stopped) waiting = null;
            if (!_more || stopped) waiting ??= Stopwatch.GetTimestamp();
            if (waiting is { } since && Stopwatch.GetElapsedTime(since) > LastWords) break;
        }

        bytes.Clear();
    }
}
