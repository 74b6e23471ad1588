using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;
using System.Runtime.Intrinsics;
using Acquire.Capture;

namespace Acquire.Sweeps;

// Running sums of scans that entered many at a time: worked out when they are asked for.
internal sealed partial class RampHistory
{
    // So few scans are summed by themselves.
    private const int FewScans = 512;

    private int GrainOf(long scan) => (int)(((scan + 1) >> BlockBits) & (_grains.Length - 1));

    private static bool IsEnd(long scan) => ((scan + 2) & (BlockScans - 1)) == 0;

    private void MeetSingle(long scan)
    {
        if (((scan + 1) & (BlockScans - 1)) == 0) _grains[GrainOf(scan)] = PieceScans;
    }

    private int PieceOf(long scan) => (int)(((scan + 1) >> PieceBits) & (_pieces.Length - 1));

    private static bool IsPieceEnd(long scan) => ((scan + 2) & (PieceScans - 1)) == 0;

    private void KeepSums(long pieceEnd, long sum, long moment) => _pieces[PieceOf(pieceEnd)] = new KeptSums(sum, moment);

    private (long Sum, long Moment) SumsKeptAt(long pieceEnd)
    {
        KeptSums kept = _pieces[PieceOf(pieceEnd)];
        return (kept.Sum, kept.Moment);
    }

    /// <summary>Running sums up to and with a scan, where they are at hand.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private bool TryGetPieceSums(long scan, out KeptSums sums)
    {
        int grain = _grains[GrainOf(scan)];
        bool known = grain != EndUnknown && ((scan + 2) & ((grain & ~Asked) - 1)) == 0;
        sums = known ? _pieces[PieceOf(scan)] : default;
        return known;
    }

    /// <summary>Sum over so few scans that they are added up faster than running sums are looked for.</summary>
    private long SumOfFew(long from, long to)
    {
        int at = (int)(from & _mask), n = (int)(to - from), first = Math.Min(n, _codes.Length - at);
        long sum = SumOf(_codes.AsSpan(at, first));
        return first < n ? sum + SumOf(_codes.AsSpan(0, n - first)) : sum;
    }

    /// <summary>Means of so few scans each: whole vectors, and what of another belongs to them.</summary>
    private static void MeansOf(ReadOnlySpan<ushort> codes, int block, Span<double> means)
    {
        ref ushort first = ref MemoryMarshal.GetReference(codes);
        if (block == 1)
        {
            for (int i = 0; i < means.Length; i++) means[i] = codes[i];
            return;
        }

        int whole = block & -Vector256<ushort>.Count;
        Vector256<ushort> rest = Lanes.FirstLanes(block - whole);
        for (int mean = 0; mean < means.Length; mean++, first = ref Unsafe.Add(ref first, block))
        {
            Vector256<ushort> last = Vector256.LoadUnsafe(ref first, (nuint)whole) & rest;
            Vector256<uint> sums = Vector256.WidenLower(last) + Vector256.WidenUpper(last);
            for (nuint i = 0; i < (nuint)whole; i += (nuint)Vector256<ushort>.Count)
            {
                Vector256<ushort> some = Vector256.LoadUnsafe(ref first, i);
                sums += Vector256.WidenLower(some) + Vector256.WidenUpper(some);
            }

            means[mean] = (double)Vector256.Sum(sums) / block;
        }
    }

    private static long SumOf(ReadOnlySpan<ushort> codes)
    {
        ref ushort first = ref MemoryMarshal.GetReference(codes);
        Vector256<uint> sums = default;
        int i = 0;
        for (; i + Vector256<ushort>.Count <= codes.Length; i += Vector256<ushort>.Count)
        {
            (Vector256<uint> low, Vector256<uint> high) = Vector256.Widen(Vector256.LoadUnsafe(ref first, (nuint)i));
            sums += low + high;
        }

        long sum = i > 0 ? Vector256.Sum(sums) : 0;
        for (; i < codes.Length; i++) sum += codes[i];
        return sum;
    }

    /// <summary>Running sums up to and with a scan.</summary>
    private (long Sum, long Moment) SumsAt(long scan)
    {
        int block = GrainOf(scan);
        if (IsEnd(scan))
        {
            if (_grains[block] == EndUnknown) FindEnds(scan);
            return SumsKeptAt(scan);
        }

        int grain = _grains[block];
        if (((scan + 2) & ((grain & ~Asked) - 1)) == 0) return SumsKeptAt(scan);
        // One that is asked for alone is worked out alone.
        return (grain & Asked) == 0 ? Between(scan, block) : CompletedAt(scan);
    }

    /// <summary>Works out the running sums at a block's end, and at those after it, from the end of the run that it lies in.</summary>
    private void FindEnds(long scan)
    {
        long end = scan;
        while (_grains[GrainOf(end)] == EndUnknown) end += BlockScans;
        (long sum, long moment) = SumsKeptAt(end);
        for (; end > scan; end -= BlockScans)
        {
            (long some, long places) = SumsOf(end - BlockScans + 1);
            sum = unchecked(sum - some);
            moment = unchecked(moment - places);
            _grains[GrainOf(end - BlockScans)] = BlockScans;
            KeepSums(end - BlockScans, sum, moment);
        }
    }

    /// <summary>Sums over a block, of codes and of codes times their scan.</summary>
    /// <param name="first">Its first scan: the last of as many that lie side by side in memory.</param>
    private (long Sum, long Moment) SumsOf(long first)
    {
        ref ushort codes = ref _codes[(first + 1) & _mask];
        Vector256<uint> sums = default, moments = default, places = Vector256<uint>.Indices, eight = Vector256.Create(8u);
        for (nuint i = 0; i < BlockScans; i += 16)
        {
            (Vector256<uint> low, Vector256<uint> high) = Vector256.Widen(Vector256.LoadUnsafe(ref codes, i));
            sums += low + high;
            moments += low * places;
            places += eight;
            moments += high * places;
            places += eight;
        }

        // What lies behind the block has been summed with it, its first scan has not.
        long behind = Unsafe.Add(ref codes, BlockScans - 1), sum = Vector256.Sum(sums) - behind, moment = Vector256.Sum(moments) - ((BlockScans - 1) * behind);
        return (sum + this[first], unchecked(moment + ((first + 1) * sum) + (first * this[first])));
    }

    /// <summary>Works out the running sums at a scan within a block, from the next ones that are known.</summary>
    private (long Sum, long Moment) Between(long scan, int block)
    {
        if (_grains[block] == EndUnknown) FindEnds(((scan + 1) | (BlockScans - 1)) - 1);
        int grain = _grains[block];
        _grains[block] |= Asked;
        long known = ((scan + 1 + grain) & -grain) - 2;
        // What comes before it may have left already, but for the last block.
        bool after = known < End;
        if (!after) known -= grain;
        (_, long sum, long moment) = UpTo(Math.Max(0, known + 1));
        long first = Math.Max(0, Math.Min(scan, known) + 1), end = Math.Max(scan, known) + 1, some = 0, places = 0;
        for (long i = first; i < end; i++)
        {
            long code = this[i];
            some += code;
            places += (i - first) * code;
        }

        places = unchecked(places + (first * some));
        return after ? unchecked((sum - some, moment - places)) : unchecked((sum + some, moment + places));
    }

    /// <summary>Running sums at a scan of a block of which more than one has been asked for: its sums are worked out together and kept near.</summary>
    private (long Sum, long Moment) CompletedAt(long scan)
    {
        long start = ((scan + 1) & -BlockScans) - 1;
        int slot = GrainOf(scan) & (CompletedBlocks - 1);
        if (_completedStarts[slot] != start) (_completedStarts[slot], _completedEnds[slot]) = (start, start);
        if (scan >= _completedEnds[slot]) Complete(start, slot);
        KeptSums kept = _completed[(slot * BlockScans) + (int)(scan - start)];
        return (kept.Sum, kept.Moment);
    }

    private void Complete(long start, int slot)
    {
        long end = Math.Min(End, start + BlockScans), known = _completedEnds[slot];
        Span<KeptSums> kept = _completed.AsSpan(slot * BlockScans, (int)(end - start));
        if (kept.Length == BlockScans && known == start) CompleteDown(start, kept);
        else CompleteUp(start, Math.Max(0, known), kept);
        _completedEnds[slot] = end;
    }

    // From the end on down: the scans at its start may have left already.
    private void CompleteDown(long start, Span<KeptSums> kept)
    {
        int least = (int)(Math.Max(start, Oldest - 1) - start);
        (long sum, long moment) = SumsAt(start + BlockScans - 1);
        for (int i = kept.Length - 1; i >= least; i--)
        {
            kept[i] = new KeptSums(sum, moment);
            long code = this[start + i];
            sum = unchecked(sum - code);
            moment = unchecked(moment - ((start + i) * code));
        }
    }

    private KeptSums SumsBefore(long scan)
    {
        (_, long sum, long moment) = UpTo(scan);
        return new KeptSums(sum, moment);
    }

    // Of the last block some are still to come.
    private void CompleteUp(long start, long first, Span<KeptSums> kept)
    {
        bool goesOn = first > Math.Max(0, start);
        (long sum, long moment) = goesOn ? kept[(int)(first - start) - 1] : SumsBefore(first);
        for (int i = (int)(first - start); i < kept.Length; i++)
        {
            long code = this[start + i];
            sum = unchecked(sum + code);
            moment = unchecked(moment + ((start + i) * code));
            kept[i] = new KeptSums(sum, moment);
        }
    }
}
