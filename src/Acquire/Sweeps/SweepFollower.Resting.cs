using Acquire.Capture;

namespace Acquire.Sweeps;

// Retrace and rest: scans taken many at a time until one may be the start of a sweep.
internal sealed partial class SweepFollower
{
    private const int PieceScans = 16;

    /// <summary>Whether retrace and rest may be taken by <see cref="TryRest"/>.</summary>
    public bool IsResting =>
        _state == State.Waiting && !_both && _doubtFrom < 0 && _next == _history.End && _next > Math.Max(_from, _segmentStart) && _next - _history.SegmentStart > 3;

    /// <summary>Takes scans of retrace and rest of a block.</summary>
    /// <param name="block">The block.</param>
    /// <param name="place">Place in its planes of the first scan, the one that waits.</param>
    /// <returns>Scans taken: 16, 32, 48 or 64; or 0, nothing has changed.</returns>
    public int TryRest(ScanBlock block, int place)
    {
        int room = ScanBlock.First + ScanBlock.Scans - place, n = 0;
        ref ushort codes = ref block.Ramp[place];
        double sigma = _history.Noise.Sigma;
        RampRun run = RampRun.Measure(ref codes, room, 0, 0, 0);
        if (run.Highest - run.Origin > RampRun.MostOff || run.Origin - run.Lowest > RampRun.MostOff) return 0;
        if (RampRun.MayHoldSpike(ref codes, room, Math.Max(8 * sigma, 0.01 * _full), Math.Max(8 * sigma, 0.005 * _full))) return 0;
        while (n < room && TakePiece(block.Ramp.AsSpan(place + n - 1, PieceScans + 1), _next + n)) n += PieceScans;
        if (n == 0) return 0;
        if (n < room) run = RampRun.Measure(ref codes, n, 0, 0, 0);
        _past.Keep(n);
        _history.EnterRun(block.Ramp.AsSpan(place, n), run, block.Ramp[place + n]);
        _history.AddNoise(ref codes, _next, n);
        PassNew(n);
        return n;
    }

    /// <summary>Waits through scans as <see cref="Wait"/> does.</summary>
    /// <param name="codes">The scan before the first, and the scans.</param>
    /// <param name="first">The first scan.</param>
    /// <returns>False where one of them may be the start of a sweep; nothing has changed then.</returns>
    private bool TakePiece(ReadOnlySpan<ushort> codes, long first)
    {
        double h = Hysteresis, rise = Math.Min(OnsetHysteresis, DoubtHysteresis), half = Math.Max(DoubtHysteresis / 2, 1);
        double lowest = _base, top = _top, retraceBase = _retraceBase, doubtAbove = _doubtAbove;
        long retraceEnd = _retraceEnd;
        int mirror = _rising ? 0 : _full, before = codes[0] ^ mirror;
        for (int i = 1; i < codes.Length; i++)
        {
            int y = codes[i] ^ mirror;
            double lower = Math.Min(y, before), higher = Math.Max(y, before);
            before = y;
            if (higher < lowest) lowest = higher;
            if (lower > lowest + rise) return false;
            if (higher < lowest + half) doubtAbove = double.NegativeInfinity;
            if (lower > top) top = lower;
            if (lowest <= retraceBase - h)
            {
                retraceBase = lowest;
                retraceEnd = first + i;
            }

            if (higher < top - h) top = higher;
        }

        (_base, _top, _retraceBase, _retraceEnd, _doubtAbove) = (lowest, top, retraceBase, retraceEnd, doubtAbove);
        return true;
    }
}
