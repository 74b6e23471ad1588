using Acquire.Capture;

namespace Acquire.Sweeps;

// Retrace and rest: scans taken many at a time until one may be the start of a sweep.
internal sealed partial class SweepFollower
{
    private const int PieceScans = 16;

    /// <summary>Whether retrace and rest may be taken by <see cref="TryRest"/>.</summary>
    public bool IsResting =>
        _state == State.Waiting && !_both && _next == _history.End && _next > Math.Max(_from, _segmentStart) && _next - _history.SegmentStart > 3;

    /// <summary>Takes scans of retrace and rest.</summary>
    /// <param name="block">Scans that have not entered yet.</param>
    /// <param name="place">Place in its planes of the first scan, the one that waits.</param>
    /// <returns>Scans taken, a multiple of 16 that ends where they do or a block; or 0, nothing has changed.</returns>
    public int TryRest(ScanBlock block, int place)
    {
        int loaded = ScanBlock.First + block.Loaded - place, n = 0;
        while (n < loaded)
        {
            int room = Math.Min(RoomInBlock(_next), loaded - n), taken = TryRestInBlock(block, place + n, room);
            n += taken;
            if (taken < room) break;
        }

        return n;
    }

    private int TryRestInBlock(ScanBlock block, int place, int room)
    {
        int n = 0;
        ref ushort codes = ref block.Ramp[place];
        double sigma = _history.Noise.Sigma;
        if (!AreNear(block, place, room)) return 0;
        if (RampRun.MayHoldSpike(ref codes, room, Math.Max(8 * sigma, 0.01 * _full), Math.Max(8 * sigma, 0.005 * _full))) return 0;
        while (n < room && TakePiece(block.Ramp.AsSpan(place + n - 1, PieceScans + 1), _next + n)) n += PieceScans;
        if (n == 0) return 0;
        RampRun.Measure(ref codes, n, 0, 0, 0, out RampRun run);
        _past.Keep(n);
        _history.EnterRun(block.Ramp.AsSpan(place, n), run, block.Ramp[place + n]);
        _history.AddNoise(ref codes, _next, n);
        Step(n);
        _end = _next;
        return n;
    }

    /// <summary>Waits through scans as <see cref="Wait"/> does.</summary>
    /// <param name="codes">The scan before the first, and the scans.</param>
    /// <param name="first">The first scan.</param>
    /// <returns>False where one of them may be the start of a sweep, or says that none has begun; nothing has changed then.</returns>
    private bool TakePiece(ReadOnlySpan<ushort> codes, long first)
    {
        // Codes are whole numbers, so whole thresholds decide the same.
        int steady = (int)Math.Ceiling(Hysteresis), fallen = (int)Math.Floor(Hysteresis), half = (int)Math.Ceiling(Math.Max(DoubtHysteresis / 2, 1));
        int rise = (int)Math.Floor(_doubtFrom < 0 ? Math.Min(OnsetHysteresis, DoubtHysteresis) : OnsetHysteresis);
        int lowest = Whole(_base), top = Whole(_top), retraceBase = Whole(_retraceBase), nearest = 1 << 24, furthest = -(1 << 24);
        long retraceEnd = _retraceEnd;
        int mirror = Mirror, before = codes[0] ^ mirror;
        for (int i = 1; i < codes.Length; i++)
        {
            // Noise decides which is less: a branch would be guessed wrong every other time.
            int y = codes[i] ^ mirror, lower = Less(y, before), higher = y + before - lower;
            before = y;
            lowest = Less(lowest, higher);
            furthest = -Less(-furthest, lowest - lower);
            nearest = Less(nearest, higher - lowest);
            top = -Less(-top, -lower);
            if (retraceBase - lowest >= steady)
            {
                retraceBase = lowest;
                retraceEnd = first + i;
            }

            if (top - higher > fallen) top = higher;
        }

        if (furthest > rise) return false;
        if (nearest < half)
        {
            if (_doubtFrom >= 0) return false;
            _doubtAbove = double.NegativeInfinity;
        }

        (_base, _top, _retraceBase, _retraceEnd) = (lowest, top, retraceBase, retraceEnd);
        return true;
    }

    private static int Less(int a, int b) => b + ((a - b) & ((a - b) >> 31));

    // Nothing seen so far is infinite; a code is never near these.
    private static int Whole(double level) => (int)Math.Clamp(level, -(1 << 24), 1 << 24);
}
