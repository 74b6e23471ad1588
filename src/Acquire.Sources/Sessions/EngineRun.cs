using Acquire.Capture;

namespace Acquire.Sources.Sessions;

/// <summary>Feeds an engine with what comes out of an exchange. The engine's thread.</summary>
internal sealed class EngineRun(SweepEngine engine, HalfExchange exchange, TimeProvider clock, LatencyHistogram latency)
{
    private readonly int _channels = engine.Setup.Scan.ChannelCount;
    private readonly Queue<StreamMark> _marks = new();
    private readonly Lock _gate = new();
    private Accounting _accounting;
    private long _position;
    private long _lastMark;
    private ushort? _lastWord;
    private long _breaks;
    private long _arrival;

    /// <summary>Where every scan went, as of the last half; any thread.</summary>
    public Accounting Accounting
    {
        get
        {
            lock (_gate) return _accounting;
        }
    }

    /// <summary>Time since the half that is being worked on arrived.</summary>
    public TimeSpan SinceArrival => clock.GetElapsedTime(_arrival);

    /// <summary>Takes half after half until nothing more comes; the stream is then complete unless the exchange was abandoned.</summary>
    /// <param name="discarded">Whether nobody wants what is left.</param>
    public void Run(Func<bool> discarded)
    {
        while (exchange.WaitForHalf(out DrainedHalf half, out ReadOnlySpan<StreamLoss> losses, _marks, out _arrival))
        {
            foreach (ScanGap gap in half.GapsBefore) Lose(gap.IsBreak ? 0 : gap.LostScans, gap.Cause);
            int at = 0;
            foreach (StreamLoss loss in losses)
            {
                Process(half.Scans[(at * _channels)..(loss.AtScan * _channels)]);
                at = loss.AtScan;
                Lose(loss.LostScans, loss.Cause);
            }

            Process(half.Scans[(at * _channels)..]);
            exchange.Release();

            // The engine publishes its state before it returns, so the picture shows the half from here on.
            latency.Add(clock.GetElapsedTime(_arrival));
            Note();
        }

        if (discarded()) return;
        engine.Complete();
        Note();
    }

    /// <summary>Takes over what the engine has counted.</summary>
    public Accounting Note()
    {
        Accounting accounting = engine.Accounting;
        lock (_gate) _accounting = accounting;
        return accounting;
    }

    private void Process(ReadOnlySpan<ushort> scans)
    {
        while (!scans.IsEmpty)
        {
            long until = long.MaxValue;
            while (_marks.TryPeek(out StreamMark mark))
            {
                if (mark.Position > _position)
                {
                    until = mark.Position;
                    break;
                }

                Set(_marks.Dequeue());
            }

            int count = (int)Math.Min(scans.Length / _channels, until - _position);
            engine.Process(scans[..(count * _channels)]);
            scans = scans[(count * _channels)..];
            _position += count;
        }
    }

    private void Set(in StreamMark mark)
    {
        // A device may say its word again and again, for those who join late: nothing has changed, and no section begins. Nor does a recording keep it.
        if (_lastWord == mark.Word) return;
        _lastWord = mark.Word;
        _lastMark = Math.Max(_lastMark, mark.Position);
        engine.Mark(_lastMark, mark.Word);
    }

    private void Lose(long lostScans, GapCause cause)
    {
        if (lostScans == 0)
        {
            // What was said before the break, of the first scan behind it, holds for none: nobody knows what happened meanwhile.
            while (_marks.TryPeek(out StreamMark mark) && mark.Breaks == _breaks)
                if (_marks.Dequeue().Position < _position) Set(mark);
            engine.Break(cause);
            (_lastWord, _lastMark) = (null, _position);
            _breaks++;
            return;
        }

        engine.Skip(lostScans, cause);
        _position += lostScans;
    }
}
