using Acquire.Capture;
using Acquire.Columns;
using Acquire.Scales;
using Acquire.Sweeps;
using Acquire.Traces;

namespace Acquire;

/// <summary>The walk from scans to traces: tracker, columns, traces. Synchronous, deterministic, no I/O, no clock, no allocation once built.</summary>
/// <remarks>
/// Not thread-safe: one thread calls it. Every decision depends on the scans and their positions only, never on where a call ended,
/// so any cutting of the same stream gives the same bits. The last scan given waits for the one after it, which tells a spike
/// from a flyback; with a blanking line that lags, scans wait for what it says of them. <see cref="Complete"/> takes what waits.
/// </remarks>
public sealed partial class SweepEngine
{
    private readonly int _channels;
    private readonly int _rampChannel;
    private readonly int _full;
    private readonly int[] _verticalChannels;
    private readonly ISweepSink _sink;
    private readonly ScanHistory _history;
    private readonly Rebinner _rebinner;
    private readonly IFollower _follower;
    private readonly LossRecord _loss = new();
    private readonly SuspectRecord _suspect = new();
    private readonly BlankingReader? _blanking;
    private readonly int _blankingChannel;
    private readonly BlankingLag? _lag;
    private readonly Trace[] _traces;
    private readonly VerticalConverter[] _converters;
    private SnapshotExchange? _snapshots;
    private long _breaks;
    private long _invalid;
    private ushort _lastRamp;
    private readonly MarkRecord _marks = new();
    private readonly bool _isSwept;
    private readonly bool _byHand;
    private bool _completed;

    /// <summary>Scans kept so that what is in doubt can be decided later; a sweep up to about this long is learnt before it is filed.</summary>
    internal const int DefaultHistoryScans = RampHistory.DefaultCapacity;

    /// <summary>Allocates everything that the engine will ever need.</summary>
    /// <param name="setup">Validated here.</param>
    /// <param name="sink">Receives each sweep when it has ended, on the calling thread.</param>
    /// <exception cref="ArgumentNullException">One of them is null.</exception>
    /// <exception cref="ArgumentException">A value of the setup is out of its range; the message names value, rule and fix.</exception>
    public SweepEngine(Setup setup, ISweepSink sink)
        : this(setup, sink, DefaultHistoryScans)
    {
    }

    /// <summary>As the public one, with a history of another length, a power of two, and on a chosen path.</summary>
    internal SweepEngine(Setup setup, ISweepSink sink, int historyScans, EnginePath? path = null)
    {
        ArgumentNullException.ThrowIfNull(setup);
        ArgumentNullException.ThrowIfNull(sink);
        SetupRules.Check(setup);
        Setup = setup;
        _sink = sink;
        _channels = setup.Scan.ChannelCount;
        _rampChannel = setup.Scan.RampChannel;
        _blankingChannel = setup.Scan.BlankingChannel;
        _full = setup.Scan.FullCode;
        _doubtShift = (long)Math.Round(setup.Columns.SkewScans - (setup.Columns.VideoDelaySeconds * (setup.Scan.ScanRateHz ?? 0)));
        _isSwept = setup.Sweep.Mode == SweepMode.Swept;
        _byHand = setup.Sweep.Mode == SweepMode.Manual;
        if (_blankingChannel >= 0) _blanking = new BlankingReader(setup.Sweep.Blanking, _full, setup.Scan.ScanRateHz, _loss);
        if (_blanking is { Lag: > 0 and var lag }) _lag = new BlankingLag(_channels, _blankingChannel, lag);
        _verticalChannels = [.. setup.Scan.VerticalChannels];
        int verticals = _verticalChannels.Length;
        _converters = [.. Enumerable.Range(0, verticals).Select(v => new VerticalConverter(setup.VerticalScaleOf(v), _full, setup.Columns.Domains))];
        _traces = [.. Enumerable.Range(0, verticals).Select(_ => new Trace(setup.Columns.ColumnCount, setup.Columns.Domains, setup.Columns.FillOverSweeps))];
        _history = new ScanHistory(_channels, historyScans);

        Listener listener = new(this);
        _axes = new AxisKeeper(setup, _full);
        Axis = _axes.Current;
        _rebinner = new Rebinner(
            _history, setup.Scan, setup.Columns, [.. _converters.Select(c => c.Tables.ToArray())], historyScans, listener, _axes.Grid, _axes.Learns);
        _live = new SweepColumns(setup.Columns.ColumnCount, verticals, setup.Columns.Domains);
        _positions = new long[setup.Columns.ColumnCount];
        _follower = setup.Sweep.Mode switch
        {
            SweepMode.Manual => new ManualFollower(_rebinner, listener, _axes.NearColumns),
            SweepMode.Time => new TimeFollower(setup.Sweep.TimeSpan, setup.Scan.ScanRateHz, setup.Columns.ColumnCount, _rebinner, listener),
            _ => new RampFollower(_tracker = new SweepTracker(setup.Sweep.Direction, _full, _axes.GivenCodes, listener, historyScans)),
        };
        _block = (path ?? EnginePaths.Usual) != EnginePath.Single && _tracker is not null ? new ScanBlock(setup.Scan, _blanking is not null) : null;
    }

    /// <summary>The setup that it was built with.</summary>
    public Setup Setup { get; }

    /// <summary>The partial trace of each vertical, in channel order. Changed by <see cref="Process(ReadOnlySpan{ushort})"/>; the engine's thread only.</summary>
    public IReadOnlyList<Trace> Traces => _traces;

    /// <summary>Scale and tables of each vertical, in channel order. Immutable.</summary>
    public IReadOnlyList<VerticalConverter> Verticals => _converters;

    /// <summary>The axis in force: where columns lie on the ramp.</summary>
    public ColumnAxis Axis { get; private set; }

    /// <summary>Opens the traces to other threads: from now on each call and each sweep's end publishes a whole state.</summary>
    /// <param name="readers">Readers that may copy at the same time, 1 to <see cref="SnapshotExchange.MaxReaders"/>; each costs the memory of one more copy of all traces.</param>
    /// <returns>Where readers on any threads copy from. The engine never waits for them.</returns>
    /// <exception cref="ArgumentOutOfRangeException">No reader, or too many.</exception>
    /// <exception cref="InvalidOperationException">It was called before; share the first exchange.</exception>
    public SnapshotExchange ShareSnapshots(int readers)
    {
        if (_snapshots is not null) throw new InvalidOperationException("The engine shares its traces already; hand on the exchange that the first call returned.");
        _snapshots = new SnapshotExchange(_traces, readers);
        ShareState();
        return _snapshots;
    }

    /// <summary>Takes scans that follow directly on the last ones.</summary>
    /// <param name="scans">Interleaved words, whole scans; read during the call only.</param>
    /// <exception cref="ArgumentException">The span is not whole scans; nothing has changed.</exception>
    /// <exception cref="InvalidOperationException">The stream was completed; another stream is another engine.</exception>
    public void Process(ReadOnlySpan<ushort> scans) => Process(scans, suspect: false);

    /// <summary>Takes scans that follow directly on the last ones and may have been overwritten while they were read.</summary>
    /// <param name="scans">Interleaved words, whole scans; read during the call only.</param>
    /// <param name="suspect">Whether hardware may have overwritten them; sweeps and columns that hold them say so.</param>
    /// <exception cref="ArgumentException">The span is not whole scans; nothing has changed.</exception>
    /// <exception cref="InvalidOperationException">The stream was completed; another stream is another engine.</exception>
    public void Process(ReadOnlySpan<ushort> scans, bool suspect)
    {
        if (scans.Length % _channels != 0)
            throw new ArgumentException($"The span has {scans.Length} words but a scan has {_channels}; give whole scans.", nameof(scans));
        ThrowIfCompleted();
        if (suspect) _suspect.Add(Given, Given + (scans.Length / _channels));
        if (_lag is null) Take(scans, suspect);
        else TakeLagging(scans);
        ShowDoubt();
        Publish();
    }

    // Scans taken, with those that wait for a blanking line that lags.
    private long Given => _history.End + (_lag?.Waiting ?? 0);

    // Those that are ready may be older than those of the call.
    private void TakeLagging(ReadOnlySpan<ushort> scans)
    {
        while (scans.Length > 0) Take(_lag!.Take(ref scans), _suspect.Reaches(_history.End));
    }

    private void TakeWaiting()
    {
        if (_lag is not null) Take(_lag.TakeRest(), _suspect.Reaches(_history.End));
    }

    private void Take(ReadOnlySpan<ushort> scans, bool suspect)
    {
        while (scans.Length > 0)
        {
            int taken = suspect ? 0 : TakeBlocks(scans);
            scans = scans[(taken * _channels)..];
            if (taken >= _history.Capacity / 4) ShowDoubt();
            int singly = Math.Min(scans.Length, (ScanBlock.Piece - (int)(_history.End % ScanBlock.Piece)) * _channels);
            TakeSingly(scans[..singly]);
            scans = scans[singly..];
        }
    }

    private void TakeSingly(ReadOnlySpan<ushort> scans)
    {
        for (; scans.Length > 0; scans = scans[_channels..])
        {
            ReadOnlySpan<ushort> scan = scans[.._channels];
            if (!_underWay) _rebinner.KeepPast(1);
            _history.Add(scan);
            _blanking?.Take(scan[_blankingChannel]);
            foreach (ushort word in scan)
            {
                if (word <= _full) continue;
                _invalid++;
                break;
            }

            // A code beyond the bits is no position: the ramp is taken to stand, the scan goes into no column.
            if (scan[_rampChannel] <= _full) _lastRamp = scan[_rampChannel];
            _follower.Push(_lastRamp);
            if ((_history.End & (_history.Capacity / 4 - 1)) == 0) ShowDoubt();
            if (_follower.Following) continue;
            WithdrawDoubt();
            if (_underWay) OnCancelled();
            FollowLegs();
        }
    }

    /// <summary>Says that a known number of scans is missing before the next call.</summary>
    /// <param name="lostScans">Scans, at least 1; over the whole stream at most <see cref="ScanGap.MostLostScans"/>.</param>
    /// <param name="cause">Why; for the caller's own record, all causes end a sweep alike.</param>
    /// <exception cref="ArgumentOutOfRangeException">Not at least 1, or too many; nothing has changed.</exception>
    /// <exception cref="InvalidOperationException">The stream was completed.</exception>
    public void Skip(long lostScans, GapCause cause)
    {
        ArgumentOutOfRangeException.ThrowIfLessThan(lostScans, 1);
        ArgumentOutOfRangeException.ThrowIfGreaterThan(lostScans, ScanGap.MostLostScans - _loss.Lost);
        ThrowIfCompleted();
        _ = cause;
        TakeWaiting();
        _follower.EndSegment(SweepEnd.Gap, lostScans);
        _loss.Add(_history.End, lostScans);
        Publish();
    }

    /// <summary>Says that an unknown number of scans is missing before the next call. What a mark said holds no longer: nobody knows what happened meanwhile.</summary>
    /// <param name="cause">Why; for the caller's own record, all causes end a sweep alike.</param>
    /// <exception cref="InvalidOperationException">The stream was completed.</exception>
    public void Break(GapCause cause)
    {
        ThrowIfCompleted();
        _ = cause;
        TakeWaiting();
        _follower.EndSegment(SweepEnd.Break, 0);
        _loss.Add(_history.End, 0);
        _marks.End(Given + _loss.Lost);
        _breaks++;
        Publish();
    }

    /// <summary>Says that something holds from a scan on that makes what follows another section, until the next mark or break: an auxiliary word, a change of settings.</summary>
    /// <param name="position">Position in the stream, lost scans counted; not before the last mark or a break that ended it, nor after the next scan.</param>
    /// <param name="word">Kept with the sweeps that begin from there on; the one under way keeps what held where it began.</param>
    /// <exception cref="ArgumentOutOfRangeException">The mark goes back, or lies beyond the next scan; nothing has changed.</exception>
    /// <exception cref="InvalidOperationException">The stream was completed.</exception>
    public void Mark(long position, ushort word)
    {
        ThrowIfCompleted();
        if (position < Math.Max(0, _marks.Last) || position > Given + _loss.Lost)
        {
            throw new ArgumentOutOfRangeException(nameof(position), position,
                $"A mark lies from the last mark ({Math.Max(0, _marks.Last)}) to the next scan ({Given + _loss.Lost}); give marks in order, before the scans that they hold for.");
        }

        _marks.Add(position, word);
    }

    /// <summary>Says that the stream has ended: the sweep under way ends with reason end and no scan stays in doubt. A second call does nothing.</summary>
    public void Complete()
    {
        if (_completed) return;
        TakeWaiting();
        _follower.Complete();
        _completed = true;
        Publish();
    }

    private void ThrowIfCompleted()
    {
        if (_completed) throw new InvalidOperationException("The stream was completed; build another engine for another stream.");
    }
}
