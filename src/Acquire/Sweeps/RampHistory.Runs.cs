using System.Numerics;
using System.Runtime.InteropServices;
using Acquire.Capture;

namespace Acquire.Sweeps;

// Scans that enter many at a time: their running sums are kept at a run's end only.
internal sealed partial class RampHistory
{
    private const int BlockBits = 6;
    private const int BlockScans = 1 << BlockBits;
    private const int PieceBits = 4;

    // So far ahead memory is asked for.
    private const int FetchedAhead = 512;
    private const int PieceScans = 1 << PieceBits;
    private const int PiecesInBlock = BlockScans / PieceScans;

    // The sums at a block's end are not known: it lies within a longer run.
    private const byte EndUnknown = 2 * BlockScans;

    // Added to what a block's sums stand at: one within it has been asked for.
    private const byte Asked = 1;

    // For each block, blocks beginning at scans whose index plus one is a multiple of their length: running sums stand at multiples of this.
    private readonly byte[] _grains;

    // Those at the ends of its pieces lie side by side: runs end there, and what lies far apart in memory takes long to write.
    private readonly KeptSums[] _pieces;

    // Blocks within which sums were asked for, all sums of each: few, so that they stay near.
    private const int CompletedBlocks = 16;
    private readonly KeptSums[] _completed = new KeptSums[CompletedBlocks * BlockScans];
    private readonly long[] _completedStarts = new long[CompletedBlocks];
    private readonly long[] _completedEnds = new long[CompletedBlocks];

    // Running sums up to and with a scan, of codes and of codes times their scan.
    private readonly record struct KeptSums(long Sum, long Moment);

    /// <summary>The scan that waits for the one after it, or null.</summary>
    public ushort? Pending => _hasPending ? _pending : null;

    /// <summary>As <see cref="Oldest"/>, when scans up to <paramref name="end"/> will have entered.</summary>
    /// <remarks>A block whose first scan is overwritten goes as a whole: its sums can no longer be worked out.</remarks>
    public long OldestAt(long end) => Math.Max(0, (Math.Max(End, end) | (BlockScans - 1)) + 1 - _codes.Length);

    /// <summary>Takes scans of which it is known that none is a spike. The one that waited is the first of them.</summary>
    /// <param name="codes">A multiple of 16 scans, either within a block or up to a block's end, with at least two before them.</param>
    /// <param name="run">Their sums.</param>
    /// <param name="next">The scan after them, which waits now.</param>
    public void EnterRun(ReadOnlySpan<ushort> codes, in RampRun run, ushort next)
    {
        EnterCodes(codes);
        int n = codes.Length, place = (int)((End + 1) & (BlockScans - 1)), block = GrainOf(End), mask = _grains.Length - 1;
        long sum = run.Sum + ((long)n * run.Origin);
        _moment = unchecked(_moment + (End * sum) + run.Moment + ((long)run.Origin * n * (n - 1) / 2));
        _sum = unchecked(_sum + sum);
        if (place + n <= BlockScans)
        {
            // None of its multiples lies inside of the run.
            byte grain = (byte)(2 << BitOperations.Log2((uint)(place ^ (place + n - 1))));
            _grains[block] = place == 0 ? grain : Math.Max(_grains[block], grain);
        }
        else
        {
            for (int left = place + n; left > BlockScans; left -= BlockScans, block = (block + 1) & mask) _grains[block] = EndUnknown;
            _grains[block] = BlockScans;
        }

        End += n;
        _pieces[PieceOf(End - 1)] = new KeptSums(_sum, _moment);
        _pending = next;
    }

    /// <summary>As <see cref="EnterRun"/> for lines of the course one after another.</summary>
    /// <param name="codes">Their scans.</param>
    /// <param name="ahead">Their sums.</param>
    /// <param name="next">The scan after them.</param>
    public void EnterLines(ReadOnlySpan<ushort> codes, LinesAhead ahead, ushort next)
    {
        EnterCodes(codes);
        int length = ahead.Length, within = (int)((End + 1) & (BlockScans - 1)), mask = _grains.Length - 1, slot = GrainOf(End);
        // A line of two blocks ends with the second.
        byte grain = (byte)Math.Clamp(length, PieceScans, BlockScans);
        for (int block = -within; block < codes.Length; block += BlockScans, slot = (slot + 1) & mask)
            _grains[slot] = block < 0 ? Math.Max(_grains[slot], grain) : length > BlockScans && (block & BlockScans) == 0 ? EndUnknown : grain;

        ReadOnlySpan<double> sums = ahead.RunningSums[..((codes.Length / length) + 1)], moments = ahead.RunningMoments[..sums.Length];
        (long sum, long moment, long first) = (_sum - (long)sums[0], _moment - (long)moments[0], End);
        KeptSums kept = default;
        KeptSums[] pieces = _pieces;
        moment = unchecked(moment - (first * (long)sums[0]));
        // Of lines within a piece that of the last is kept.
        int piece = PieceOf(first - 1), step = Math.Max(1, length / PieceScans), lines = ahead.AtLeast;
        for (int line = lines; line < sums.Length; line += lines)
        {
            long own = double.ConvertToIntegerNative<long>(sums[line]), places = double.ConvertToIntegerNative<long>(moments[line]);
            kept = new KeptSums(unchecked(sum + own), unchecked(moment + (first * own) + places));
            piece = (piece + step) & (pieces.Length - 1);
            pieces[piece] = kept;
        }

        (_sum, _moment) = (kept.Sum, kept.Moment);
        End += codes.Length;
        _pending = next;
    }

    private void EnterCodes(ReadOnlySpan<ushort> codes)
    {
        Span<ushort> to = _codes.AsSpan((int)(End & _mask));
        Lanes.Fetch(ref MemoryMarshal.GetReference(to), FetchedAhead, codes.Length);
        if (codes.Length <= to.Length)
        {
            Lanes.Copy(ref MemoryMarshal.GetReference(codes), ref MemoryMarshal.GetReference(to), codes.Length);
            return;
        }

        codes[..to.Length].CopyTo(to);
        codes[to.Length..].CopyTo(_codes);
    }

    /// <summary>Whether scans are these.</summary>
    /// <param name="codes">Their codes.</param>
    /// <param name="scan">The first.</param>
    public bool Holds(ReadOnlySpan<ushort> codes, long scan)
    {
        int at = (int)(scan & _mask), first = Math.Min(codes.Length, _codes.Length - at);
        return codes[..first].SequenceEqual(_codes.AsSpan(at, first)) && codes[first..].SequenceEqual(_codes.AsSpan(0, codes.Length - first));
    }
}
