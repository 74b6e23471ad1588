namespace Acquire.Capture;

/// <summary>Two halves of memory between one producer and one consumer: one half fills while the other is read. Nobody ever waits.</summary>
/// <remarks>
/// One thread produces and one consumes; they may be the same. Members say on which side they belong; a side may move to another
/// thread if the host orders the two by its own means (an awaited task does). No call waits, locks or allocates.
/// With <see cref="OverrunPolicy.Drop"/> the producer calls <see cref="TryBeginFill"/>, <see cref="CompleteFill"/> and <see cref="Skip"/>;
/// with <see cref="OverrunPolicy.Overwrite"/> it calls <see cref="HalfReady"/> or <see cref="AdvanceTo"/>. The consumer's side is the same.
/// </remarks>
public sealed partial class PingPongBuffer
{
    private readonly Memory<ushort> _words;
    private readonly int _wordsPerHalf;
    private readonly ICapturePosition? _position;

    // Of the consumer's side alone.
    private readonly GapList _drainedGaps = new();
    private bool _draining;

    // Written by the side that counts, read by anybody.
    private long _lostScans;
    private long _suspectScans;

    /// <summary>Makes a buffer on memory of its own, which the garbage collector does not move.</summary>
    /// <param name="options">Size and policy.</param>
    /// <param name="position">How far hardware has come, or null where only its events are known; for <see cref="OverrunPolicy.Overwrite"/>.</param>
    /// <exception cref="ArgumentException">An option is out of its range, or a position is given with <see cref="OverrunPolicy.Drop"/>.</exception>
    public PingPongBuffer(PingPongOptions options, ICapturePosition? position = null)
        : this(options, Memory<ushort>.Empty, position, ownsMemory: true)
    {
    }

    /// <summary>Makes a buffer on the caller's memory.</summary>
    /// <param name="options">Size and policy.</param>
    /// <param name="words">At least <see cref="PingPongOptions.WordCount"/> words, first half first; the caller's, used as long as the buffer is.
    /// Hardware needs it pinned.</param>
    /// <param name="position">How far hardware has come, or null where only its events are known; for <see cref="OverrunPolicy.Overwrite"/>.</param>
    /// <exception cref="ArgumentException">An option is out of its range, the memory is too small, or a position is given with <see cref="OverrunPolicy.Drop"/>.</exception>
    public PingPongBuffer(PingPongOptions options, Memory<ushort> words, ICapturePosition? position = null)
        : this(options, words, position, ownsMemory: false)
    {
    }

    private PingPongBuffer(PingPongOptions options, Memory<ushort> words, ICapturePosition? position, bool ownsMemory)
    {
        ArgumentNullException.ThrowIfNull(options);
        options.Validate();
        if (ownsMemory) words = GC.AllocateArray<ushort>(options.WordCount, pinned: true);
        if (words.Length < options.WordCount)
            throw new ArgumentException($"The memory holds {words.Length:N0} words; two halves of {options.ScansPerHalf:N0} scans with {options.ChannelCount} channels need {options.WordCount:N0}. Give more memory or smaller halves.", nameof(words));
        if (position is not null && options.Policy == OverrunPolicy.Drop)
            throw new ArgumentException("A capture position was given with the policy Drop; only hardware has one. Leave it out or give the policy Overwrite.", nameof(position));
        Options = options;
        _words = words;
        _position = position;
        _wordsPerHalf = options.ScansPerHalf * options.ChannelCount;
    }

    /// <summary>Size and policy.</summary>
    public PingPongOptions Options { get; }

    /// <summary>Known losses so far, of every cause; any thread may read it.</summary>
    /// <remarks>With <see cref="OverrunPolicy.Drop"/> counted when the producer skips, with <see cref="OverrunPolicy.Overwrite"/> when the consumer comes back.</remarks>
    public long LostScans => Volatile.Read(ref _lostScans);

    /// <summary>Scans handed out so far that turned out to be suspect; any thread may read it.</summary>
    public long SuspectScans => Volatile.Read(ref _suspectScans);

    /// <summary>Makes a buffer on memory outside of the managed heap.</summary>
    /// <param name="options">Size and policy.</param>
    /// <param name="address">Address of <see cref="PingPongOptions.WordCount"/> words, even; the caller's, which must stay valid as long as the buffer is used.</param>
    /// <param name="position">How far hardware has come, or null where only its events are known; for <see cref="OverrunPolicy.Overwrite"/>.</param>
    /// <exception cref="ArgumentException">An option is out of its range, the address is 0 or odd, or a position is given with <see cref="OverrunPolicy.Drop"/>.</exception>
    public static PingPongBuffer OnNativeMemory(PingPongOptions options, nint address, ICapturePosition? position = null)
    {
        ArgumentNullException.ThrowIfNull(options);
        options.Validate();
        if (address == 0 || (address & 1) != 0)
            throw new ArgumentException($"The address is {address:X}; it must be even and not 0. Give the address of 16-bit words.", nameof(address));
        return new PingPongBuffer(options, new NativeWords(address, options.WordCount).Memory, position);
    }

    /// <summary>Memory of one half, to be given to a device or to an asynchronous read.</summary>
    /// <param name="index">0 or 1.</param>
    /// <returns>Words of <see cref="PingPongOptions.ScansPerHalf"/> scans, interleaved; valid as long as the buffer's memory is.</returns>
    /// <remarks>Whose it is to touch changes as halves are handed over; this method does not check that. Any thread.</remarks>
    /// <exception cref="ArgumentOutOfRangeException">There is no such half.</exception>
    public Memory<ushort> MemoryOf(int index)
    {
        RequireHalf(index);
        return _words.Slice(index * _wordsPerHalf, _wordsPerHalf);
    }

    /// <summary>Consumer: begins to read the next half, if one is ready.</summary>
    /// <param name="half">What was lost before it, and its scans; valid until <see cref="CompleteDrain"/>.</param>
    /// <returns>False when nothing is ready now.</returns>
    /// <exception cref="InvalidOperationException">The drain before was not completed.</exception>
    public bool TryBeginDrain(out DrainedHalf half)
    {
        if (_draining)
            throw new InvalidOperationException("A half is already being drained; call CompleteDrain before TryBeginDrain.");
        _draining = Options.Policy == OverrunPolicy.Drop ? TryBeginDrainFilled(out half) : TryBeginDrainNewest(out half);
        return _draining;
    }

    /// <summary>Consumer: ends reading. What <see cref="TryBeginDrain"/> gave is no longer valid.</summary>
    /// <remarks>Only now it is known whether hardware was faster. Who must know before the scans are used copies them, ends the drain and
    /// uses the copy.</remarks>
    /// <returns>Whether the half may have been overwritten while it was read; with <see cref="OverrunPolicy.Drop"/> always whole.</returns>
    /// <exception cref="InvalidOperationException">No drain was begun.</exception>
    public HalfCondition CompleteDrain()
    {
        if (!_draining)
            throw new InvalidOperationException("No half is being drained; call TryBeginDrain, and CompleteDrain only when it returned true.");
        _draining = false;
        return Options.Policy == OverrunPolicy.Drop ? CompleteDrainFilled() : CompleteDrainNewest();
    }

    private Span<ushort> WordsOf(int index) => _words.Span.Slice(index * _wordsPerHalf, _wordsPerHalf);

    private void RequirePolicy(OverrunPolicy needed, string member)
    {
        if (Options.Policy != needed)
            throw new InvalidOperationException($"{member} was called on a buffer with the policy {Options.Policy}; it belongs to {needed}. Call the other policy's members or make the buffer with {needed}.");
    }

    private static void RequireHalf(int index)
    {
        if (index is not (0 or 1))
            throw new ArgumentOutOfRangeException(nameof(index), index, "A half has index 0 or 1; give one of these.");
    }
}
