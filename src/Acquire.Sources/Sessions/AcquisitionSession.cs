using System.Threading.Channels;
using Acquire.Capture;
using Acquire.Scales;
using Acquire.Traces;
using Microsoft.Extensions.Logging;

namespace Acquire.Sources.Sessions;

/// <summary>A source at work: its scans go through a ping-pong buffer to an engine, its sweeps to a consumer, its traces to readers of snapshots.</summary>
/// <remarks>
/// Two threads of its own, both in the background: one for the source, one for the engine. Members may be used by any thread. Nothing here asks again and again: who waits, waits
/// to be told. Another setup is another session.
/// </remarks>
// Ways to end, whichever comes first:
//
//   the source ends or fails --> the engine takes what is left --> sweeps end, with the fault if there was one
//   Stop                     --> the source is stopped --> as above
//   the engine fails         --> the source is stopped --> sweeps end with that fault
//   Dispose                  --> both are stopped, what is left is discarded --> sweeps end
public sealed class AcquisitionSession : IAsyncDisposable
{
    private readonly IScanSource _source;
    private readonly string _name;
    private readonly SessionOptions _options;
    private readonly SweepEngine _engine;
    private readonly HalfExchange _exchange;
    private readonly EngineRun _run;
    private readonly SweepOutlet _outlet;
    private readonly SessionMeter _meter;
    private readonly CancellationTokenSource _stop = new();
    private readonly CancellationTokenSource _discard = new();
    private readonly TaskCompletionSource _sourceEnded = new(TaskCreationOptions.RunContinuationsAsynchronously);
    private readonly TaskCompletionSource _engineEnded = new(TaskCreationOptions.RunContinuationsAsynchronously);
    private readonly TaskCompletionSource _completion = new(TaskCreationOptions.RunContinuationsAsynchronously);
    private StreamDescription? _description;
    private string? _lastText;
    private Exception? _sourceFault;
    private SessionCounts _loggedCounts;
    private Task? _disposal;

    private AcquisitionSession(IScanSource source, Setup setup, SessionOptions options)
    {
        SweepPolicy policy = options.Policy ?? (source.CanWait ? SweepPolicy.Wait : SweepPolicy.DropWhenFull);
        if (policy == SweepPolicy.Wait && !source.CanWait)
            throw new ArgumentException($"Policy is Wait, but {source.Name} cannot wait; give NewestWins or DropWhenFull.");
        _source = source;
        _name = source.Name.TrimEnd(':');
        _options = options;
        _outlet = new SweepOutlet(setup, policy, options.MostSweeps, OnSweep, _discard.Token);
        _engine = new SweepEngine(setup, _outlet);
        Snapshots = _engine.ShareSnapshots(options.SnapshotReaders);
        _exchange = new HalfExchange(setup.Scan, options.ScansPerHalf, source.CanWait, options.Clock);
        _run = new EngineRun(_engine, _exchange, options.Clock, Latency);
        _meter = new SessionMeter(source.Name);
    }

    /// <summary>The setup of its engine.</summary>
    public Setup Setup => _engine.Setup;

    /// <summary>Scale and tables of each vertical, in channel order: what makes values of the columns in a report. Immutable.</summary>
    public IReadOnlyList<VerticalConverter> Verticals => _engine.Verticals;

    /// <summary>The sweeps, complete or not, in order. Whoever reads a report disposes it.</summary>
    /// <remarks>It ends when the source has; where the source or the engine failed, with that exception behind everything that came before.</remarks>
    public ChannelReader<SweepReport> Sweeps => _outlet.Reader;

    /// <summary>The traces as they stand, for as many readers at a time as the options say.</summary>
    public SnapshotExchange Snapshots { get; }

    /// <summary>Time from the arrival of a half's last scan to the snapshot that shows it.</summary>
    public LatencyHistogram Latency { get; } = new();

    /// <summary>What the source says its scans are, or null: nothing so far.</summary>
    public StreamDescription? Description => Volatile.Read(ref _description);

    /// <summary>What the device said last, as it said it (escape it before it is shown), or null: nothing so far.</summary>
    public string? LastText => Volatile.Read(ref _lastText);

    /// <summary>What was counted so far.</summary>
    public SessionCounts Counts => CountsOf(_run.Accounting);

    /// <summary>Ends when the engine has taken all there is and <see cref="Sweeps"/> holds the last sweep; fails with what the sweeps end with.</summary>
    public Task Completion => _completion.Task;

    /// <summary>Starts.</summary>
    /// <param name="source">Runs on a thread of the session; the session's from now on.</param>
    /// <param name="setup">What the scans are and what is made of them. What the source says of itself must not contradict it.</param>
    /// <param name="options">How things are handed on; null for the defaults.</param>
    /// <exception cref="ArgumentException">A value of setup or options is out of its range, or the source cannot wait as the policy asks.</exception>
    /// <remarks>A source that cannot be opened is a fault of the running session: it ends <see cref="Sweeps"/>.</remarks>
    public static AcquisitionSession Start(IScanSource source, Setup setup, SessionOptions? options = null)
    {
        ArgumentNullException.ThrowIfNull(source);
        ArgumentNullException.ThrowIfNull(setup);
        options ??= new SessionOptions();
        options.Validate();
        AcquisitionSession session = new(source, setup, options);
        SessionLog.Started(options.Logger, session._name);
        new Thread(session.RunEngine) { IsBackground = true, Name = "Acquire engine" }.Start();
        new Thread(session.RunSource) { IsBackground = true, Name = "Acquire source" }.Start();
        return session;
    }

    /// <summary>Stops the source; what came before is still processed and delivered, then <see cref="Sweeps"/> ends. Returns at once; may be called again.</summary>
    public void Stop()
    {
        try
        {
            _stop.Cancel();
        }
        catch (ObjectDisposedException)
        {
            // Disposed meanwhile, and stopped thereby.
        }
    }

    /// <summary>Stops, discards what nobody has read, and ends when both threads have, however far the consumer is.</summary>
    /// <remarks>A source that does not end within the options' stop timeout is left to itself. May be called again.</remarks>
    public ValueTask DisposeAsync()
    {
        lock (_discard) return new ValueTask(_disposal ??= DisposeOnce());
    }

    private async Task DisposeOnce()
    {
        await _discard.CancelAsync().ConfigureAwait(false);
        _exchange.Abandon();
        await _stop.CancelAsync().ConfigureAwait(false);
        await _engineEnded.Task.ConfigureAwait(false);
        _outlet.Clear();
        _meter.Dispose();
        try
        {
            await _sourceEnded.Task.WaitAsync(_options.StopTimeout).ConfigureAwait(false);
        }
        catch (TimeoutException)
        {
            SessionLog.LeftAlone(_options.Logger, _name, _options.StopTimeout.TotalSeconds);
            return;
        }

        _stop.Dispose();
        _discard.Dispose();
    }

    private void RunSource()
    {
        try
        {
            _source.Run(new SessionReceiver(_source.Name, Setup.Scan, _exchange, OnDescribed, OnSaid), _stop.Token);
        }
        catch (OperationCanceledException) when (_stop.IsCancellationRequested)
        {
            // A stopped source should return; one that throws this instead means the same.
        }
#pragma warning disable CA1031 // Whatever an embedder's source throws is a fault of the stream, not of the process.
        catch (Exception fault)
#pragma warning restore CA1031
        {
            _sourceFault = fault;
        }

        _exchange.End();
        _sourceEnded.SetResult();
    }

    private void RunEngine()
    {
        Exception? fault = null;
        try
        {
            _run.Run(() => _discard.IsCancellationRequested);
            fault = _sourceFault;
        }
#pragma warning disable CA1031 // Whatever goes wrong here must reach the consumer; this thread has nobody else to tell.
        catch (Exception engineFault)
#pragma warning restore CA1031
        {
            fault = engineFault;
        }

        // After a fault of the engine the source may stand in a call that nobody will answer.
        _exchange.Abandon();
        Stop();
        try
        {
            Conclude(fault);
        }
#pragma warning disable CA1031 // A logger that throws must not keep the consumer waiting for ever.
        catch (Exception loggingFault)
#pragma warning restore CA1031
        {
            fault ??= loggingFault;
        }

        _outlet.Complete(fault);
        if (fault is null) _completion.SetResult();
        else _completion.SetException(fault);

        // Somebody may look at the sweeps only: a fault that is told there is not also an unobserved one.
        _ = _completion.Task.Exception;
        _engineEnded.SetResult();
    }

    private void Conclude(Exception? fault)
    {
        SessionCounts counts = CountsOf(_run.Note());
        _meter.Record(counts);
        LogLosses(counts);
        if (fault is not null) SessionLog.Faulted(_options.Logger, fault, _name);
        SessionLog.Ended(_options.Logger, _name, counts.Accounting.Scans, counts.Sweeps, counts.Accounting.Lost);
    }

    private void OnDescribed(StreamDescription description)
    {
        Volatile.Write(ref _description, description);
        if (!_options.Logger.IsEnabled(LogLevel.Information)) return;
        string device = VisibleText.Whole(description.Device);
        SessionLog.Described(_options.Logger, _name, description.Scan.ChannelCount, description.Scan.Bits, description.Scan.ScanRateHz, device);
    }

    private void OnSaid(string text)
    {
        Volatile.Write(ref _lastText, text);
        if (!_options.Logger.IsEnabled(LogLevel.Information)) return;
        string visible = VisibleText.Whole(text);
        SessionLog.Said(_options.Logger, _name, visible);
    }

    // Once a sweep, on the engine's thread. In the midst of its work: the accounts are those of the half before, which add up.
    private void OnSweep(SweepReport report)
    {
        SessionCounts counts = CountsOf(_run.Accounting);
        _meter.Record(counts);
        _meter.RecordLatency(_run.SinceArrival);
        SessionLog.Sweep(_options.Logger, _name, report.Info.Number, report.Info.StartScan, report.Info.EndScan, report.Info.EndReason);
        LogLosses(counts);
        if (report.DroppedBefore > 0) SessionLog.Dropped(_options.Logger, _name, report.DroppedBefore, report.Info.Number);
    }

    private void LogLosses(in SessionCounts counts)
    {
        long lost = counts.Accounting.Lost - _loggedCounts.Accounting.Lost, breaks = counts.Accounting.Breaks - _loggedCounts.Accounting.Breaks;
        if (lost > 0 || breaks > 0) SessionLog.Lost(_options.Logger, _name, lost, breaks);
        if (counts.Reconnections > _loggedCounts.Reconnections) SessionLog.Reconnected(_options.Logger, _name, counts.Reconnections);
        _loggedCounts = counts;
    }

    private SessionCounts CountsOf(Accounting accounting) => new()
    {
        Accounting = accounting,
        OverrunScans = _exchange.OverrunScans,
        LostInBreaksAtLeast = _exchange.LostInBreaksAtLeast,
        Sweeps = _outlet.Sweeps,
        SweepsDropped = _outlet.Dropped,
        Reconnections = _source.Reconnections,
    };
}
