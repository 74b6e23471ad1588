using System.Diagnostics;

namespace Acquire.Capture;

// The policy Drop. One half, seen by itself; halves take turns on both sides.
//
//   Free --TryBeginFill--> Filling --CompleteFill--> Ready --TryBeginDrain--> Draining
//    ^  ^                     |                                                  |
//    |  +-- CompleteFill(0) --+                                                  |
//    +------------------------------- CompleteDrain -----------------------------+
//
//   Free, Filling: the producer owns it.   Ready, Draining: the consumer owns it.
//
// D1  At most one half is Filling and at most one is Draining.
// D2  A Ready half holds 1..ScansPerHalf scans, or none and at least one gap.
// D3  Halves are drained in the order in which they were filled.
// D4  Every scan of the stream is in exactly one half or in exactly one gap.
public sealed partial class PingPongBuffer
{
    // Poison for memory that was given back, in Debug: the highest word, which no converter below 16 bits gives.
    private const ushort Poison = ushort.MaxValue;

    private readonly int[] _states = new int[2];
    private readonly int[] _scanCounts = new int[2];
    private readonly long[] _numbers = new long[2];
    private readonly GapList[] _gapsBefore = [new(), new()];

    // Of the producer's side alone.
    private readonly GapList _pendingGaps = new();
    private long _fillNumber;

    // Of the consumer's side alone.
    private long _drainNumber;

    private enum HalfState
    {
        Free,
        Filling,
        Ready,
        Draining,
    }

    private int FillIndex => (int)(_fillNumber & 1);

    private int DrainIndex => (int)(_drainNumber & 1);

    /// <summary>Producer, <see cref="OverrunPolicy.Drop"/>: begins to fill the next half, if the consumer has given it back.</summary>
    /// <param name="half">Room for <see cref="PingPongOptions.ScansPerHalf"/> scans with undefined content; valid until <see cref="CompleteFill"/>.</param>
    /// <returns>False when the consumer still holds the half: an overrun. Scans that have no other place go to <see cref="Skip"/>.</returns>
    /// <exception cref="InvalidOperationException">The fill before was not completed, or the policy is not Drop.</exception>
    public bool TryBeginFill(out Span<ushort> half)
    {
        RequirePolicy(OverrunPolicy.Drop, nameof(TryBeginFill));

        // Acquire, with CompleteDrain's release: the consumer's last reads are done before our first write.
        switch (StateOf(FillIndex))
        {
            case HalfState.Filling:
                throw new InvalidOperationException("A half is already being filled; call CompleteFill before TryBeginFill.");
            case HalfState.Free:
                // No order needed: only this side acts on Free and Filling. The consumer treats both alike.
                SetState(FillIndex, HalfState.Filling);
                half = WordsOf(FillIndex);
                AssertProducer();
                return true;
            default:
                half = default;
                return false;
        }
    }

    /// <summary>Producer, <see cref="OverrunPolicy.Drop"/>: hands the half over, with all that was skipped since the half before.</summary>
    /// <param name="scanCount">Scans written, from the start of the half, 0 to <see cref="PingPongOptions.ScansPerHalf"/>. With 0 only gaps are
    /// handed over, which a producer does at the end of a stream; without gaps the half stays with the producer.</param>
    /// <exception cref="InvalidOperationException">No fill was begun, or the policy is not Drop.</exception>
    /// <exception cref="ArgumentOutOfRangeException">More scans than a half holds, or fewer than none; the half is still being filled.</exception>
    public void CompleteFill(int scanCount)
    {
        RequirePolicy(OverrunPolicy.Drop, nameof(CompleteFill));
        int index = FillIndex;
        if (StateOf(index) != HalfState.Filling)
            throw new InvalidOperationException("No half is being filled; call TryBeginFill, and CompleteFill only when it returned true.");
        if (scanCount < 0 || scanCount > Options.ScansPerHalf)
            throw new ArgumentOutOfRangeException(nameof(scanCount), scanCount,
                $"Half has {scanCount:N0} scans but ScansPerHalf is {Options.ScansPerHalf:N0}; complete 0 to {Options.ScansPerHalf:N0}.");
        if (scanCount == 0 && _pendingGaps.Gaps.IsEmpty)
        {
            SetState(index, HalfState.Free);
            return;
        }

        _scanCounts[index] = scanCount;
        _numbers[index] = _fillNumber;
        _gapsBefore[index].TakeFrom(_pendingGaps);

        // Release, with TryBeginDrain's acquire: words, count and gaps are there before the half shows as ready.
        SetState(index, HalfState.Ready);
        _fillNumber++;
        AssertProducer();
    }

    /// <summary>Producer, <see cref="OverrunPolicy.Drop"/>: says that scans are missing at this place of the stream. The consumer hears it with the next half.</summary>
    /// <param name="lostScans">Missing scans, at least 1, in all at most <see cref="ScanGap.MostLostScans"/>; 0 where <paramref name="cause"/> says that nobody knows (<see cref="ScanGap.IsBreak"/>).</param>
    /// <param name="cause">Why they are missing; <see cref="GapCause.Overrun"/> where they found no free half.</param>
    /// <exception cref="InvalidOperationException">A half is being filled, so the place would not be known; or the policy is not Drop.</exception>
    /// <exception cref="ArgumentOutOfRangeException">A count that does not fit the cause, more lost scans than a stream may have, or a cause without a name;
    /// nothing has changed.</exception>
    public void Skip(long lostScans, GapCause cause)
    {
        RequirePolicy(OverrunPolicy.Drop, nameof(Skip));
        if (StateOf(FillIndex) == HalfState.Filling)
            throw new InvalidOperationException("A half is being filled; call CompleteFill with the scans before the gap, then Skip.");
        // The list of gaps has a place for each cause that there is. Compared by hand: the platform's question allocates once.
        if (cause is < GapCause.Overrun or > GapCause.Unknown)
            throw new ArgumentOutOfRangeException(nameof(cause), cause, $"The cause is {(int)cause}, which is none; give Overrun, Link, File, Reset or Unknown.");
        var gap = new ScanGap(lostScans, cause);
        if (gap.IsBreak ? lostScans != 0 : lostScans < 1)
            throw new ArgumentOutOfRangeException(nameof(lostScans), lostScans,
                $"{lostScans} scans lost for the cause {cause}; a gap has at least 1, a break has 0 because nobody knows. Give the count that fits.");
        ArgumentOutOfRangeException.ThrowIfGreaterThan(lostScans, ScanGap.MostLostScans - _lostScans);
        _pendingGaps.Add(gap);

        // Only this side writes the count, so reading it back needs no interlocked addition.
        Volatile.Write(ref _lostScans, _lostScans + lostScans);
    }

    private bool TryBeginDrainFilled(out DrainedHalf half)
    {
        int index = DrainIndex;

        // Acquire, with CompleteFill's release: what the producer wrote is visible before we read it.
        if (StateOf(index) != HalfState.Ready)
        {
            half = default;
            return false;
        }

        AssertConsumer();
        SetState(index, HalfState.Draining);
        int scanCount = _scanCounts[index];
        half = new DrainedHalf(_gapsBefore[index].Gaps, WordsOf(index)[..(scanCount * Options.ChannelCount)], scanCount);
        return true;
    }

    private HalfCondition CompleteDrainFilled()
    {
        int index = DrainIndex;
        PoisonWords(index);
        _drainNumber++;

        // Release, with TryBeginFill's acquire: our last read of the half happens before the producer may write to it.
        SetState(index, HalfState.Free);
        return HalfCondition.Whole;
    }

    // Acquire and release: whoever sees a half change hands also sees what the side before did to it.
    private HalfState StateOf(int index) => (HalfState)Volatile.Read(ref _states[index]);

    private void SetState(int index, HalfState state) => Volatile.Write(ref _states[index], (int)state);

    [Conditional("DEBUG")]
    private void PoisonWords(int index) => WordsOf(index).Fill(Poison);

    // Reads what the producer owns, and the state of the other half, which it may always look at.
    [Conditional("DEBUG")]
    private void AssertProducer()
    {
        Debug.Assert(StateOf(1 - FillIndex) != HalfState.Filling, "D1: a half is being filled out of turn.");
        Debug.Assert(_pendingGaps.Gaps.Length <= 7, "D4: more gaps at one place than a list can hold.");
    }

    // Reads what the consumer owns: a half that it has acquired as ready, and the state of the other half.
    [Conditional("DEBUG")]
    private void AssertConsumer()
    {
        int index = DrainIndex;
        Debug.Assert(StateOf(1 - index) != HalfState.Draining, "D1: both halves are being drained.");
        Debug.Assert(_scanCounts[index] > 0 ? _scanCounts[index] <= Options.ScansPerHalf : !_gapsBefore[index].Gaps.IsEmpty,
            "D2: a ready half holds neither scans nor gaps, or too many scans.");
        Debug.Assert(_numbers[index] == _drainNumber, "D3: halves are drained in another order than filled.");
    }
}
