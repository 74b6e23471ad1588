using Acquire.Capture;

namespace Acquire.Sources.Recording;

/// <summary>Lets a receiver work on a thread of its own, so that a disk that pauses does not keep a source from reading.</summary>
/// <remarks>
/// Everything reaches the receiver in order and unchanged, except that runs of scans may be joined or cut. Once a stated number of words waits, the
/// source waits too. What the receiver throws comes out of the source's next call and of <see cref="Complete"/>. The source's side is one thread.
/// After <see cref="Complete"/> or <see cref="Dispose"/> nothing more is taken: every call throws <see cref="InvalidOperationException"/>.
/// </remarks>
public sealed class ReceiverThread : IScanReceiver, IDisposable
{
    private const int BlockWords = 16 * 1024;

    private readonly IScanReceiver _receiver;
    private readonly Action? _idle;
    private readonly TimeSpan _idleTime;
    private readonly object _gate = new();
    private readonly Queue<Entry> _entries = new();
    private readonly Stack<ushort[]> _free = new();
    private readonly Thread _thread;
    private readonly long _mostWordsEver;
    private readonly TimeSpan? _mostTime;
    private long _mostWords;
    private Entry? _tail;
    private long _waitingWords;
    private int _channels = new StreamDescription().Scan.ChannelCount;
    private Exception? _fault;
    private bool _ended;

    /// <summary>Starts the thread.</summary>
    /// <param name="receiver">Gets everything, on the new thread.</param>
    /// <param name="mostWords">Words from which on the source waits, 1 or more; what it gave last may lie beyond by a block of 16,384. Memory is taken as it is needed.</param>
    /// <param name="idle">Called on the new thread when nothing came for a while, or null.</param>
    /// <param name="idleTime">How long a while is; null is for ever.</param>
    /// <param name="mostTime">Time of scans from which on it waits once it has said its scan rate, or null: <paramref name="mostWords"/> alone counts.</param>
    /// <exception cref="ArgumentOutOfRangeException">The words are fewer than one.</exception>
    public ReceiverThread(IScanReceiver receiver, long mostWords = 8 << 20, Action? idle = null, TimeSpan? idleTime = null, TimeSpan? mostTime = null)
    {
        ArgumentNullException.ThrowIfNull(receiver);
        ArgumentOutOfRangeException.ThrowIfNegativeOrZero(mostWords);
        _receiver = receiver;
        _mostWords = _mostWordsEver = mostWords;
        _mostTime = mostTime;
        _idle = idle;
        _idleTime = idleTime ?? Timeout.InfiniteTimeSpan;
        _thread = new Thread(Run) { IsBackground = true, Name = "acquire receiver" };
        _thread.Start();
    }

    /// <summary>The most words that ever waited; exact on the source's thread and after the end.</summary>
    public long HighWaterWords { get; private set; }

    /// <inheritdoc/>
    public void Describe(StreamDescription description)
    {
        ArgumentNullException.ThrowIfNull(description);
        _channels = description.Scan.ChannelCount;
        double words = description.Scan.ScanRateHz is { } rate && _mostTime is { } time ? rate * time.TotalSeconds * _channels : double.PositiveInfinity;
        _mostWords = (long)Math.Clamp(words, 1, _mostWordsEver);
        Add(receiver => receiver.Describe(description));
    }

    /// <inheritdoc/>
    public void Take(ReadOnlySpan<ushort> scans)
    {
        lock (_gate)
        {
            while (!scans.IsEmpty)
            {
                WaitForRoom();
                if (_tail is null || _tail.Words == WordsPerBlock)
                {
                    _tail = new Entry { Block = _free.TryPop(out ushort[]? block) && block.Length >= WordsPerBlock ? block : new ushort[WordsPerBlock] };
                    _entries.Enqueue(_tail);
                }

                int count = Math.Min(scans.Length, WordsPerBlock - _tail.Words);
                scans[..count].CopyTo(_tail.Block.AsSpan(_tail.Words));
                scans = scans[count..];
                _tail.Words += count;
                _waitingWords += count;
                HighWaterWords = Math.Max(HighWaterWords, _waitingWords);
                Monitor.PulseAll(_gate);
            }
        }
    }

    /// <inheritdoc/>
    public void Skip(long lostScans, GapCause cause) => Add(receiver => receiver.Skip(lostScans, cause));

    /// <inheritdoc/>
    public void Break(GapCause cause, long atLeast) => Add(receiver => receiver.Break(cause, atLeast));

    /// <inheritdoc/>
    public void Mark(long position, ushort word) => Add(receiver => receiver.Mark(position, word));

    /// <inheritdoc/>
    public void Say(string text) => Add(receiver => receiver.Say(text));

    /// <summary>Waits until the receiver has everything and ends the thread.</summary>
    /// <exception cref="Exception">What the receiver threw.</exception>
    public void Complete()
    {
        Stop();
        lock (_gate) ThrowIfFaulted();
    }

    /// <summary>As <see cref="Complete"/>, without throwing what the receiver threw.</summary>
    public void Dispose() => Stop();

    private int WordsPerBlock => BlockWords / _channels * _channels;

    private void Stop()
    {
        lock (_gate)
        {
            _ended = true;
            Monitor.PulseAll(_gate);
        }

        _thread.Join();
    }

    private void Add(Action<IScanReceiver> call)
    {
        lock (_gate)
        {
            // A call counts as a block, so that a flood of them waits too.
            WaitForRoom();
            _tail = null;
            _waitingWords++;
            _entries.Enqueue(new Entry { Call = call, Words = 1 });
            Monitor.PulseAll(_gate);
        }
    }

    // The thread has gone, or goes when it has handed on what waits: what came now would reach nobody.
    private void WaitForRoom()
    {
        while (_waitingWords >= _mostWords && _fault is null && !_ended) Monitor.Wait(_gate);
        ThrowIfFaulted();
        if (_ended) throw new InvalidOperationException("The receiver's thread has ended, and what came now would be lost; give nothing after Complete or Dispose, or make another one.");
    }

    private void ThrowIfFaulted()
    {
        if (_fault is not null) System.Runtime.ExceptionServices.ExceptionDispatchInfo.Throw(_fault);
    }

    private void Run()
    {
        try
        {
            while (NextEntry() is { } entry)
            {
                if (entry == Entry.Idle)
                {
                    _idle?.Invoke();
                    continue;
                }

                if (entry.Block is null) entry.Call!(_receiver);
                else _receiver.Take(entry.Block.AsSpan(0, entry.Words));
                lock (_gate)
                {
                    _waitingWords -= entry.Words;
                    if (entry.Block is not null) _free.Push(entry.Block);
                    Monitor.PulseAll(_gate);
                }
            }
        }
#pragma warning disable CA1031 // whatever the receiver throws belongs to the source's thread
        catch (Exception exception)
#pragma warning restore CA1031
        {
            lock (_gate)
            {
                _fault = exception;
                Monitor.PulseAll(_gate);
            }
        }
    }

    private Entry? NextEntry()
    {
        lock (_gate)
        {
            while (_entries.Count == 0)
            {
                if (_ended) return null;
                if (!Monitor.Wait(_gate, _idleTime)) return Entry.Idle;
            }

            Entry entry = _entries.Dequeue();

            // Its block is the receiver's now: the next scans begin another.
            if (entry == _tail) _tail = null;
            return entry;
        }
    }

    private sealed class Entry
    {
        public static readonly Entry Idle = new();

        public ushort[]? Block { get; init; }

        public Action<IScanReceiver>? Call { get; init; }

        public int Words { get; set; }
    }
}
