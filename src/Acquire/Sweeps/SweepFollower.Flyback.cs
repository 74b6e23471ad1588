using System.Runtime.InteropServices;
using System.Runtime.Intrinsics;

namespace Acquire.Sweeps;

// Where a flyback ends before a start, scan by scan or many at a time where nothing shows.
internal sealed partial class SweepFollower
{
    /// <summary>First scan from one on that is not clearly a flyback's: a jump is no part of a line.</summary>
    private long AfterFlyback(long scan, long below, long reach, long from, long first)
    {
        double step = OnsetHysteresis / reach * 2;
        double jump = Math.Max(Math.Max(8 * _sigma, 0.02 * Span), 6 * step);
        double high = _base + (9 * _sigma) + (OnsetHysteresis / 16);
        // Once the ramp, gone through backwards, has come down to its foot, whatever lies higher is still the flyback.
        // Of many scans a few lie far off, so means of blocks are looked at.
        long block = reach < 512 ? 1 : reach / 128;
        bool atFoot = false;
        for (long i = scan - block, looked = scan; i - block >= from; i -= block)
        {
            if (block == 1 && i < looked)
            {
                i -= SmoothBefore(i, from, below, jump, high, ref atFoot);
                looked = i + 1 - PieceScans;
            }

            double later = MeanLevel(i, block), earlier = MeanLevel(i - block, block);
            atFoot |= i <= below && later <= _base + (5 * _sigma);
            if (Math.Abs(later - earlier) > jump || (atFoot && Math.Min(later, earlier) > high))
            {
                from = i;
                // Of a fast flyback a few scans more say where it ends.
                for (int more = 0; more < 4 && from > first && Y(from - 1) > Y(from) && Y(from - 1) - Y(from) < jump; more++) from--;
                return from;
            }
        }

        // What is left over of blocks, scan by scan.
        for (long i = Math.Min(below, from + (2 * block)); i > from; i--)
            if (Math.Abs(Y(i) - Y(i - 1)) > jump) return i;
        return from;
    }

    private long SmoothBefore(long last, long from, long below, double jump, double high, ref bool atFoot)
    {
        ReadOnlySpan<ushort> codes = _history.SideBySide(from, last + 1 - from);
        int foot = (int)Math.Clamp(below - from, -1, codes.Length);
        return SmoothFromEnd(codes, foot, Mirror, jump, high, _base + (5 * _sigma), ref atFoot);
    }

    /// <summary>How many scans, from the last back, show no end of a flyback: nowhere a jump, nor two at the foot's place or before it that lie high.</summary>
    /// <param name="codes">The scans.</param>
    /// <param name="below">Place after which none is of the foot; -1: none is.</param>
    /// <param name="mirror">0, or the full code where the ramp falls.</param>
    /// <param name="jump">Codes between neighbours that are a jump.</param>
    /// <param name="high">Level that is high.</param>
    /// <param name="low">Level of the foot.</param>
    /// <param name="atFoot">Whether the foot has been seen.</param>
    /// <returns>A multiple of 16 that leaves two at least.</returns>
    internal static int SmoothFromEnd(ReadOnlySpan<ushort> codes, int below, ushort mirror, double jump, double high, double low, ref bool atFoot)
    {
        ref ushort first = ref MemoryMarshal.GetReference(codes);
        Vector256<ushort> mirrors = Vector256.Create(mirror), mostStep = WholeCodes(jump), mostLow = WholeCodes(high), foot = WholeCodes(low);
        int end = codes.Length;
        for (; end > PieceScans + 1; end -= PieceScans)
        {
            int at = end - PieceScans;
            Vector256<ushort> now = Vector256.LoadUnsafe(ref first, (nuint)at) ^ mirrors, before = Vector256.LoadUnsafe(ref first, (nuint)at - 1) ^ mirrors;
            Vector256<ushort> lower = Vector256.Min(now, before);
            if (Vector256.GreaterThanAny(Vector256.Max(now, before) - lower, mostStep)) break;
            if (at > below) continue;
            if (end - 1 > below || Vector256.GreaterThanAny(lower, mostLow)) break;
            atFoot |= Vector256.LessThanOrEqualAny(now, foot);
        }

        return codes.Length - end;

        // Codes are whole numbers, none below 0, so whole levels decide the same.
        static Vector256<ushort> WholeCodes(double level) => Vector256.Create((ushort)Math.Clamp(Math.Floor(level), 0, ushort.MaxValue));
    }
}
