using System.Diagnostics;

namespace Acquire.Capture;

// The policy Overwrite. Hardware fills half 0, 1, 0, 1 ... without asking. Counted through, half k lies in memory k & 1:
//
//                 event k                     event k+1                    event k+2
//   being written ------> ready, whole ----------------> being overwritten ------> holds half k+2
//                           |                              |
//                           | TryBeginDrain                +-- not yet begun: lost, and counted
//                           v                              |
//                         being read ----------------------+-- still being read: suspect
//
// O1  A drain begins on the newest half, and only if no later event has come: then it is whole at that moment.
// O2  The numbers of drained halves rise.
// O3  Drained halves + lost halves = halves of which an event told.
public sealed partial class PingPongBuffer
{
    private const int BreakBits = 16;

    // Halves ready since the start, and in the low bits how often an unknown number of events was missed: one word, so that
    // the consumer can never see the one without the other.
    private long _progress;

    // Of the producer's side alone.
    private long _readyHalves;
    private ushort _breaks;

    // Of the consumer's side alone.
    private long _nextHalf;
    private ushort _breaksSeen;

    /// <summary>Producer, <see cref="OverrunPolicy.Overwrite"/>: hardware has filled a half and has gone on to the other one.</summary>
    /// <remarks>
    /// Meant for the half and full events of a circular transfer, which starts at half 0. Where an event is missing (the same half twice
    /// running, or half 1 first) nobody knows how many halves went by: the consumer hears of a break with cause
    /// <see cref="GapCause.Unknown"/>. A buffer with an <see cref="ICapturePosition"/> asks that instead and counts them exactly.
    /// </remarks>
    /// <param name="index">The half that is full, 0 or 1.</param>
    /// <exception cref="InvalidOperationException">The policy is not Overwrite.</exception>
    /// <exception cref="ArgumentOutOfRangeException">There is no such half, or the position is that of more halves than <see cref="AdvanceTo"/> takes;
    /// nothing has changed.</exception>
    public void HalfReady(int index)
    {
        RequirePolicy(OverrunPolicy.Overwrite, nameof(HalfReady));
        RequireHalf(index);
        if (_position is not null)
        {
            // An event may be served late, when hardware is further on: its position knows.
            AdvanceTo(Math.Max(_readyHalves, _position.ScansWritten / Options.ScansPerHalf));
            return;
        }

        if ((_readyHalves & 1) != index)
        {
            // The number that is left out stands for the unknown ones and keeps number and memory in step.
            _readyHalves++;
            _breaks++;
        }

        Publish(_readyHalves + 1);
    }

    /// <summary>Producer, <see cref="OverrunPolicy.Overwrite"/>: hardware has filled so many halves since the start.</summary>
    /// <remarks>Meant for polling a position with its wraps: several halves at a time are counted exactly.</remarks>
    /// <param name="readyHalves">Full halves since the start; not fewer than before, and no more than 2^47 - 1 nor than have
    /// <see cref="ScanGap.MostLostScans"/> scans: more is a damaged count.</param>
    /// <exception cref="InvalidOperationException">The policy is not Overwrite.</exception>
    /// <exception cref="ArgumentOutOfRangeException">Fewer halves than before, or too many; nothing has changed.</exception>
    public void AdvanceTo(long readyHalves)
    {
        RequirePolicy(OverrunPolicy.Overwrite, nameof(AdvanceTo));
        if (readyHalves < _readyHalves)
            throw new ArgumentOutOfRangeException(nameof(readyHalves), readyHalves,
                $"{readyHalves:N0} halves are ready but {_readyHalves:N0} were before; hardware does not go back. Read wraps before position.");
        if (readyHalves > MostHalves)
            throw new ArgumentOutOfRangeException(nameof(readyHalves), readyHalves,
                $"{readyHalves:N0} halves are ready; no stream has more than {MostHalves:N0} of {Options.ScansPerHalf:N0} scans. Check how position and wraps are read.");
        Publish(readyHalves);
    }

    // What the word of the progress holds beside the breaks, and what may be lost of a stream.
    private long MostHalves => Math.Min(long.MaxValue >> BreakBits, ScanGap.MostLostScans / Options.ScansPerHalf);

    private void Publish(long readyHalves)
    {
        _readyHalves = readyHalves;

        // Release: on machines where a device's writes are ordered with ours, the half is in memory before it shows as ready.
        Volatile.Write(ref _progress, (readyHalves << BreakBits) | _breaks);

        // A program in the place of hardware goes on writing at once: its next words must not be seen before the event is.
        Volatile.WriteBarrier();
    }

    private bool TryBeginDrainNewest(out DrainedHalf half)
    {
        // Acquire: the words of the half are read after the event that says they are there.
        long progress = Volatile.Read(ref _progress);
        long ready = progress >> BreakBits;
        if (ready == _nextHalf)
        {
            half = default;
            return false;
        }

        Debug.Assert(ready > _nextHalf, "O2: halves run backwards.");
        ushort breaks = (ushort)progress;
        ushort missed = (ushort)(breaks - _breaksSeen);
        long lostHalves = ready - 1 - _nextHalf - missed;
        Debug.Assert(lostHalves >= 0, "O3: more halves were left out than counted.");

        _drainedGaps.Clear();
        if (lostHalves > 0)
        {
            long lostScans = lostHalves * Options.ScansPerHalf;
            _drainedGaps.Add(new ScanGap(lostScans, GapCause.Overrun));
            Volatile.Write(ref _lostScans, _lostScans + lostScans);
        }

        if (missed > 0) _drainedGaps.Add(new ScanGap(0, GapCause.Unknown));
        _breaksSeen = breaks;
        _nextHalf = ready;
        half = new DrainedHalf(_drainedGaps.Gaps, WordsOf((int)((ready - 1) & 1)), Options.ScansPerHalf);
        return true;
    }

    private HalfCondition CompleteDrainNewest()
    {
        // Every read of the half must be done before we look how far hardware is; without the barrier a read could slip behind
        // the look and see new words in a half that was found whole.
        Volatile.ReadBarrier();

        // The event after ours says that hardware has begun to write over what we read. Events may be served late, a position is not.
        bool overwritten = Volatile.Read(ref _progress) >> BreakBits > _nextHalf
            || (_position is not null && _position.ScansWritten >= (_nextHalf + 1) * Options.ScansPerHalf);
        if (!overwritten) return HalfCondition.Whole;
        Volatile.Write(ref _suspectScans, _suspectScans + Options.ScansPerHalf);
        return HalfCondition.Suspect;
    }
}
