using Acquire.Capture;

namespace Acquire.Sources.Sessions;

/// <summary>Brings scans from the source's thread to the engine's through a ping-pong buffer, with losses and marks in their places.</summary>
// The buffer never waits; who waits for whom is decided here, under one gate that is held for a copy or a change of hands, never while the engine works.
//
//   source's thread: Take, Skip, Break, Mark, End      engine's thread: WaitForHalf, Release      any thread: Abandon
//
// X1  A half that is being filled holds at least one scan.
// X2  An idle engine takes what there is: a half waits for more scans only while the engine is busy. So a scan never waits for a half to fill.
// X3  Nothing is lost in silence: a scan is in a half, or counted as overrun, or the exchange was abandoned.
internal sealed class HalfExchange(ScanFormat scan, int scansPerHalf, bool producerWaits, TimeProvider clock)
{
    // Losses inside one half; with more than that the half is handed over as it is.
    private const int MostLosses = 256;

    // As many as the engine itself remembers.
    private const int MostMarks = 4_096;

    private readonly object _gate = new();
    private readonly int _channels = scan.ChannelCount;
    private readonly PingPongBuffer _buffer = new(new PingPongOptions { ScansPerHalf = scansPerHalf, ChannelCount = scan.ChannelCount });
    private readonly StreamLoss[][] _losses = [new StreamLoss[MostLosses], new StreamLoss[MostLosses]];
    private readonly int[] _lossCounts = new int[2];
    private readonly long[] _arrivals = new long[2];
    private readonly Queue<StreamMark> _marks = new(MostMarks);
    private int _fillIndex;
    private int _drainIndex;
    private int _filledScans;
    private bool _filling;
    private bool _broken;
    private bool _consumerWaits;
    private bool _ended;
    private bool _endHandedOver;
    private bool _abandoned;
    private long _overrunScans;
    private long _lostAtLeast;
    private long _marksDropped;
    private long _breaks;

    public long OverrunScans => Volatile.Read(ref _overrunScans);

    public long LostInBreaksAtLeast => Volatile.Read(ref _lostAtLeast);

    public long MarksDropped => Volatile.Read(ref _marksDropped);

    /// <summary>Source: scans that follow.</summary>
    public void Take(ReadOnlySpan<ushort> scans)
    {
        if (scans.Length % _channels != 0)
            throw new ArgumentException($"The source gave {scans.Length:N0} words but a scan of the setup has {_channels}; give whole scans, or a setup with the source's channels.", nameof(scans));
        lock (_gate)
        {
            while (!scans.IsEmpty)
            {
                if (!_filling && !BeginFill())
                {
                    if (!_abandoned) Overrun(scans.Length / _channels);
                    return;
                }

                int words = Math.Min(scans.Length, (scansPerHalf - _filledScans) * _channels);
                scans[..words].CopyTo(_buffer.MemoryOf(_fillIndex).Span[(_filledScans * _channels)..]);
                scans = scans[words..];
                _filledScans += words / _channels;
                _broken = false;
                _arrivals[_fillIndex] = clock.GetTimestamp();
                if (_filledScans == scansPerHalf) CompleteFill();
            }

            WakeConsumer();
        }
    }

    /// <summary>Source: a known number of scans is missing.</summary>
    public void Skip(long lostScans, GapCause cause)
    {
        ArgumentOutOfRangeException.ThrowIfLessThan(lostScans, 1);
        lock (_gate)
        {
            // A cause that stands for the unknown would make the buffer take it for a break.
            Lose(lostScans, new ScanGap(lostScans, cause).IsBreak ? GapCause.Link : cause);
        }
    }

    /// <summary>Source: an unknown number of scans is missing.</summary>
    public void Break(GapCause cause, long atLeast)
    {
        lock (_gate)
        {
            Volatile.Write(ref _lostAtLeast, _lostAtLeast + Math.Max(0, atLeast));

            // With no scan between the two, a second break is the same unknown again.
            if (_broken) return;
            _broken = true;
            _breaks++;
            Lose(0, new ScanGap(0, cause).IsBreak ? cause : GapCause.Unknown);
        }
    }

    /// <summary>Source: a word that holds from a scan on.</summary>
    public void Mark(long position, ushort word)
    {
        lock (_gate)
        {
            if (_marks.Count == MostMarks)
            {
                _marks.Dequeue();
                Volatile.Write(ref _marksDropped, _marksDropped + 1);
            }

            _marks.Enqueue(new StreamMark(position, word, _breaks));
        }
    }

    /// <summary>Source: nothing more comes.</summary>
    public void End()
    {
        lock (_gate)
        {
            _ended = true;
            WakeConsumer();
        }
    }

    /// <summary>Any thread: nobody wants what is left. Whoever waits here returns at once.</summary>
    public void Abandon()
    {
        lock (_gate)
        {
            _abandoned = true;
            Monitor.PulseAll(_gate);
        }
    }

    /// <summary>Engine: waits for scans or losses.</summary>
    /// <param name="half">Valid until <see cref="Release"/>.</param>
    /// <param name="losses">Losses between its scans; valid until <see cref="Release"/>.</param>
    /// <param name="marks">Gets the marks that were made before its last scan came.</param>
    /// <param name="arrival">Timestamp of its last scan.</param>
    /// <returns>False when everything was taken and nothing more comes, or when the exchange was abandoned.</returns>
    public bool WaitForHalf(out DrainedHalf half, out ReadOnlySpan<StreamLoss> losses, Queue<StreamMark> marks, out long arrival)
    {
        half = default;
        losses = default;
        arrival = 0;
        lock (_gate)
        {
            while (!_abandoned)
            {
                if (_buffer.TryBeginDrain(out half))
                {
                    losses = _losses[_drainIndex].AsSpan(0, _lossCounts[_drainIndex]);
                    arrival = _arrivals[_drainIndex];
                    while (_marks.TryDequeue(out StreamMark mark)) marks.Enqueue(mark);
                    return true;
                }

                if (_filling)
                {
                    CompleteFill();
                }
                else if (!_ended)
                {
                    _consumerWaits = true;
                    Monitor.Wait(_gate);
                    _consumerWaits = false;
                }
                else if (_endHandedOver)
                {
                    return false;
                }
                else
                {
                    // What was lost behind the last scan; the half is free, since nothing is ready.
                    _endHandedOver = true;
                    if (_buffer.TryBeginFill(out _)) HandOver(0);
                }
            }
        }

        return false;
    }

    /// <summary>Engine: ends the use of a half.</summary>
    public void Release()
    {
        lock (_gate)
        {
            _buffer.CompleteDrain();
            _drainIndex = 1 - _drainIndex;
            Monitor.PulseAll(_gate);
        }
    }

    private bool BeginFill()
    {
        while (!_abandoned)
        {
            if (_buffer.TryBeginFill(out _))
            {
                _filling = true;
                _filledScans = 0;
                _lossCounts[_fillIndex] = 0;
                return true;
            }

            if (!producerWaits) return false;
            Monitor.Wait(_gate);
        }

        return false;
    }

    private void CompleteFill()
    {
        _filling = false;
        HandOver(_filledScans);
        WakeConsumer();
    }

    private void HandOver(int scanCount)
    {
        // Without scans and losses the buffer keeps the half where it is.
        if (scanCount == 0)
        {
            _lossCounts[_fillIndex] = 0;
            _arrivals[_fillIndex] = clock.GetTimestamp();
        }

        _buffer.CompleteFill(scanCount);
        _fillIndex = 1 - _fillIndex;
    }

    private void Overrun(long scans)
    {
        _buffer.Skip(scans, GapCause.Overrun);
        Volatile.Write(ref _overrunScans, _overrunScans + scans);
    }

    private void Lose(long lostScans, GapCause cause)
    {
        if (_abandoned) return;
        if (_filling && _lossCounts[_fillIndex] == MostLosses) CompleteFill();
        if (_filling) _losses[_fillIndex][_lossCounts[_fillIndex]++] = new StreamLoss(_filledScans, lostScans, cause);
        else _buffer.Skip(lostScans, cause);
    }

    private void WakeConsumer()
    {
        if (_consumerWaits) Monitor.PulseAll(_gate);
    }
}
