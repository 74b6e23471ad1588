using System.Threading.Channels;

namespace Acquire.Sources.Sessions;

/// <summary>Copies each sweep into a report and hands it to the consumer as the policy says. The engine's thread.</summary>
internal sealed class SweepOutlet : ISweepSink
{
    private readonly Channel<SweepReport> _channel;
    private readonly SweepReader _reader;
    private readonly ReportPool _pool;
    private readonly SweepPolicy _policy;
    private readonly CancellationToken _discard;
    private readonly Action<SweepReport> _delivered;
    private long _droppedSince;
    private long _sweeps;
    private long _dropped;

    /// <param name="setup">Shape of the reports.</param>
    /// <param name="policy">What becomes of a sweep for which the consumer has no time.</param>
    /// <param name="most">Sweeps that may wait.</param>
    /// <param name="delivered">Called with each sweep, handed on or dropped, before it is.</param>
    /// <param name="discard">Ends a wait for the consumer: nobody wants what is left.</param>
    public SweepOutlet(Setup setup, SweepPolicy policy, int most, Action<SweepReport> delivered, CancellationToken discard)
    {
        _policy = policy;
        _delivered = delivered;
        _discard = discard;
        int waiting = policy == SweepPolicy.NewestWins ? 1 : most;

        // One more in the consumer's hands and one in the making.
        _pool = new ReportPool(setup, waiting + 2);

        // Not a single reader: the newest sweep takes the one that waits out of the consumer's way. Continuations on the engine's thread would be the consumer's work there.
        _channel = Channel.CreateBounded<SweepReport>(new BoundedChannelOptions(waiting) { SingleWriter = true, SingleReader = false, AllowSynchronousContinuations = false });
        _reader = new SweepReader(_channel.Reader);
    }

    public ChannelReader<SweepReport> Reader => _reader;

    public long Sweeps => Volatile.Read(ref _sweeps);

    public long Dropped => Volatile.Read(ref _dropped);

    public void SweepEnded(in SweepView sweep)
    {
        Volatile.Write(ref _sweeps, _sweeps + 1);
        if (_policy == SweepPolicy.NewestWins && _channel.Reader.TryRead(out SweepReport? older))
        {
            Drop(1 + older.DroppedBefore, newlyDropped: 1);
            older.Dispose();
        }

        ReportStorage storage = _pool.Rent();
        storage.CopyFrom(sweep);
        SweepReport report = new(_pool, storage, sweep, _droppedSince);
        _delivered(report);
        if (_channel.Writer.TryWrite(report) || (_policy == SweepPolicy.Wait && WaitFor(report)))
        {
            _droppedSince = 0;
            return;
        }

        report.Dispose();
        Drop(1, newlyDropped: 1);
    }

    /// <summary>Ends the stream of sweeps behind those that wait.</summary>
    public void Complete(Exception? fault) => _channel.Writer.TryComplete(fault);

    /// <summary>Gives back what nobody will read.</summary>
    public void Clear() => _reader.Discard();

    private bool WaitFor(SweepReport report)
    {
        do
        {
            if (!WaitForRoom()) return false;
        }
        while (!_channel.Writer.TryWrite(report));
        return true;
    }

    private bool WaitForRoom()
    {
        try
        {
            // The engine's own thread may block: that is what makes the source wait.
            return _channel.Writer.WaitToWriteAsync(_discard).AsTask().GetAwaiter().GetResult();
        }
        catch (OperationCanceledException)
        {
            return false;
        }
    }

    private void Drop(long unreported, long newlyDropped)
    {
        _droppedSince += unreported;
        Volatile.Write(ref _dropped, _dropped + newlyDropped);
    }
}
