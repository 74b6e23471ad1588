using System.Numerics;
using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;
using System.Runtime.Intrinsics;
using Acquire.Capture;

namespace Acquire.Sweeps;

// Retrace and rest: scans taken many at a time until one may be the start of a sweep.
internal sealed partial class SweepFollower
{
    private const int PieceScans = ScanBlock.Piece;

    /// <summary>Whether retrace and rest may be taken by <see cref="TryRest"/>.</summary>
    public bool IsResting =>
        _state == State.Waiting && (!_both || IsWhole(_base, _top)) && _next == _history.End && _next > Math.Max(_from, _segmentStart) && _next - _history.SegmentStart > 3;

    /// <summary>Takes scans of retrace and rest.</summary>
    /// <param name="block">Scans that have not entered yet.</param>
    /// <param name="place">Place in its planes of the first scan, the one that waits.</param>
    /// <returns>Scans taken, a multiple of 16 that ends where they do or a block; or 0, nothing has changed.</returns>
    public int TryRest(ScanBlock block, int place)
    {
        int loaded = ScanBlock.First + block.Loaded - place, n = 0;
        bool together = true;
        while (n < loaded)
        {
            // Among many a spike is likelier: then block by block.
            int room = together ? Math.Min(loaded - n, RampRun.MostScans) : Math.Min(RoomInBlock(_next), loaded - n), taken = TryRestUpTo(block, place + n, room);
            n += taken;
            if (taken == room) continue;
            if (taken > 0 || room <= RoomInBlock(_next)) break;
            together = false;
        }

        return n;
    }

    private int TryRestUpTo(ScanBlock block, int place, int room)
    {
        ref ushort codes = ref block.Ramp[place];
        double sigma = _history.Noise.Sigma;
        if (!AreNear(block, place, room)) return 0;
        if (RampRun.MayHoldSpike(ref codes, room, Math.Max(8 * sigma, 0.01 * _full), Math.Max(8 * sigma, 0.005 * _full), 4 * sigma)) return 0;
        int n = TakePieces(ref codes, room, _next);
        // The ramp's first scans are in doubt for a while.
        while (n < room && TryPieceInDoubt(block.Ramp.AsSpan(place - 1, n + PieceScans + 1)))
        {
            n += PieceScans;
            n += TakePieces(ref Unsafe.Add(ref codes, n), room - n, _next + n);
        }

        if (n == 0) return 0;
        // To a block's end, and on from there.
        int over = n <= RoomInBlock(_next) ? 0 : (int)((_next + 1 + n) & (BlockScans - 1));
        PassRest(block, place, n - over);
        if (over > 0) PassRest(block, place + n - over, over);
        return n;
    }

    private void PassRest(ScanBlock block, int place, int scans)
    {
        ref ushort codes = ref block.Ramp[place];
        RampRun.Sums(ref codes, scans, out RampRun run);
        _past.Keep(scans);
        _history.EnterRun(block.Ramp.AsSpan(place, scans), run, block.Ramp[place + scans]);
        _history.Noise.AddSpaced(ref codes, _next, scans);
        Step(scans);
        _end = _next;
    }

    /// <summary>What a rest is judged by. Codes are whole numbers, so whole thresholds decide the same.</summary>
    /// <param name="Steady">Codes by which a retrace goes on.</param>
    /// <param name="Half">Codes above the base below which a doubt is dropped.</param>
    /// <param name="Rise">Codes above the base up to which nothing is decided.</param>
    /// <param name="Fall">Codes below the top up to which nothing is decided either, where the ramp draws both ways.</param>
    [StructLayout(LayoutKind.Auto)]
    private readonly record struct RestLimits(int Steady, int Half, int Rise, int Fall);

    private RestLimits Limits() => new(
        (int)Math.Ceiling(Hysteresis),
        (int)Math.Ceiling(Math.Max(DoubtHysteresis / 2, 1)),
        (int)Math.Floor(_doubtFrom < 0 ? Math.Min(OnsetHysteresis, DoubtHysteresis) : OnsetHysteresis),
        (int)Math.Floor(OnsetHysteresis));

    /// <summary>Waits through scans as <see cref="Wait"/> does, up to sixteen of which one may be the start of a sweep, or says that none has begun.</summary>
    /// <param name="codes">Place of the first; the scan before it is there too.</param>
    /// <param name="scans">How many at most, a multiple of 16.</param>
    /// <param name="first">The first scan.</param>
    /// <returns>How many, a multiple of 16.</returns>
    [MethodImpl(MethodImplOptions.NoInlining)]
    private int TakePieces(ref ushort codes, int scans, long first)
    {
        RestLimits limits = Limits();
        var mirrors = Vector256.Create(Mirror);
        var mostRise = Vector256.Create((ushort)Math.Min(limits.Rise, ushort.MaxValue));
        var mostFall = Vector256.Create((ushort)Math.Min(limits.Fall, ushort.MaxValue));
        int low = Whole(_base), top = Math.Max(0, Whole(_top)), topBehind = top, retraceBase = Whole(_retraceBase), n = 0;
        bool both = _both;
        bool doubts = _doubtFrom >= 0, doubted = !double.IsNegativeInfinity(_doubtAbove);
        for (; n < scans; n += PieceScans)
        {
            Vector256<ushort> now = Vector256.LoadUnsafe(ref codes, (nuint)n) ^ mirrors, before = Vector256.LoadUnsafe(ref Unsafe.Subtract(ref codes, 1), (nuint)n) ^ mirrors;
            Vector256<ushort> higher = Vector256.Max(now, before);
            Vector256<ushort> lowest = Vector256.Min(Lanes.LowestSoFar(higher), Vector256.Create((ushort)Math.Min(low, ushort.MaxValue)));
            Vector256<ushort> lower = Vector256.Min(now, before), rises = Vector256.SubtractSaturate(lower, lowest);
            if (Vector256.SubtractSaturate(rises, mostRise) != default) break;
            if (both)
            {
                Vector256<ushort> highest = Vector256.Max(~Lanes.LowestSoFar(~lower), Vector256.Create((ushort)Math.Min(top, ushort.MaxValue)));
                if (Vector256.SubtractSaturate(Vector256.SubtractSaturate(highest, higher), mostFall) != default) break;
                topBehind = highest[PieceScans - 1];
            }

            // Without a doubt there is none to be dropped.
            if ((doubts || doubted) && Lanes.Lowest(higher - lowest) < limits.Half)
            {
                if (doubts) break;
                doubted = false;
            }

            low = lowest[PieceScans - 1];
            top = topBehind;
            while (retraceBase - low >= limits.Steady)
            {
                var enough = Vector256.Create((ushort)Math.Min(retraceBase - limits.Steady, ushort.MaxValue));
                int place = BitOperations.TrailingZeroCount(Vector256.LessThanOrEqual(lowest, enough).ExtractMostSignificantBits());
                _retraceBase = retraceBase = lowest[place];
                _retraceEnd = first + n + place + 1;
            }
        }

        if (n == 0) return 0;
        _base = low;
        if (both) _top = top;
        if (!doubted) _doubtAbove = double.NegativeInfinity;
        return n;
    }

    /// <summary>Waits through sixteen scans one by one, as <see cref="Wait"/> does, where none is the start of a sweep but doubts begin or end.</summary>
    /// <param name="codes">The codes that have not entered the history yet, up to the last of them, and the one before these.</param>
    /// <returns>False where one may be the start; nothing has changed then.</returns>
    private bool TryPieceInDoubt(ReadOnlySpan<ushort> codes)
    {
        int first = codes.Length - PieceScans;
        double h = Hysteresis, most = OnsetHysteresis, low = _base, top = _top;
        for (int i = first; i < codes.Length; i++)
        {
            double now = Level(codes[i]), before = Level(codes[i - 1]), lower = Math.Min(now, before), higher = Math.Max(now, before);
            low = Math.Min(low, higher);
            top = Math.Max(top, lower);
            if (lower > low + most || (_both && higher < top - most)) return false;
        }

        _top = top;

        for (int i = first; i < codes.Length; i++)
        {
            double now = Level(codes[i]), before = Level(codes[i - 1]);
            Fall(_next + i - 1, Math.Min(now, before), Math.Max(now, before), h, codes[1..]);
        }

        return true;
    }

    private static bool IsWhole(double a, double b) => Math.Floor(a) == a && Math.Floor(b) == b;

    // Nothing seen so far is infinite; a code is never near these.
    private static int Whole(double level) => (int)Math.Clamp(level, -(1 << 24), 1 << 24);
}
