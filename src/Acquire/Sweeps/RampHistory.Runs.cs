using System.Runtime.CompilerServices;

namespace Acquire.Sweeps;

// Scans that enter many at a time: their running sums are kept at a run's end only and worked out when they are asked for.
internal sealed partial class RampHistory
{
    private const int BlockBits = 6;
    private const int BlockScans = 1 << BlockBits;

    // For each block, blocks beginning at scans whose index plus one is a multiple of their length: running sums stand at multiples of this.
    private readonly byte[] _grains;

    /// <summary>The scan that waits for the one after it, or null.</summary>
    public ushort? Pending => _hasPending ? _pending : null;

    /// <summary>As <see cref="Oldest"/>, when scans up to <paramref name="end"/> will have entered.</summary>
    /// <remarks>A block whose first scan is overwritten goes as a whole: its sums can no longer be worked out.</remarks>
    public long OldestAt(long end) => Math.Max(0, (Math.Max(End, end) | (BlockScans - 1)) + 1 - _codes.Length);

    /// <summary>Takes scans of which it is known that none is a spike. The one that waited is the first of them.</summary>
    /// <param name="codes">16, 32, 48 or 64 scans within a block, with at least two before them.</param>
    /// <param name="run">Their sums.</param>
    /// <param name="next">The scan after them, which waits now.</param>
    public void EnterRun(ReadOnlySpan<ushort> codes, in RampRun run, ushort next)
    {
        int n = codes.Length;
        int at = (int)(End & _mask), first = Math.Min(n, _codes.Length - at);
        codes[..first].CopyTo(_codes.AsSpan(at));
        codes[first..].CopyTo(_codes);

        long sum = run.Sum + ((long)n * run.Origin);
        long moment = run.Moment + ((long)run.Origin * n * (n - 1) / 2);
        _sum = unchecked(_sum + sum);
        _moment = unchecked(_moment + (End * sum) + moment);
        int block = GrainOf(End);
        byte grain = (byte)System.Numerics.BitOperations.RoundUpToPowerOf2((uint)n);
        _grains[block] = ((End + 1) & (BlockScans - 1)) == 0 ? grain : Math.Max(_grains[block], grain);
        End += n;
        int last = (int)((End - 1) & _mask);
        _sums[last] = _sum;
        _moments[last] = _moment;
        _pending = next;
    }

    /// <summary>Takes the noise of scans that have entered.</summary>
    /// <param name="codes">Place of the scan <paramref name="scan"/>; the scans around it are there too.</param>
    /// <param name="scan">First scan.</param>
    /// <param name="scans">How many.</param>
    public void AddNoise(ref ushort codes, long scan, int scans)
    {
        for (long i = RampNoise.FirstFrom(scan) - scan; i < scans; i += RampNoise.Spacing)
        {
            ref ushort at = ref Unsafe.Add(ref codes, (nint)i);
            int before = Unsafe.Subtract(ref at, 1), first = Unsafe.Subtract(ref at, 2);
            Noise.Add(Math.Abs(at - (2 * before) + first), scan + i);
        }
    }

    /// <summary>Whether scans are these.</summary>
    /// <param name="codes">Their codes.</param>
    /// <param name="scan">The first.</param>
    public bool Holds(ReadOnlySpan<ushort> codes, long scan)
    {
        int at = (int)(scan & _mask), first = Math.Min(codes.Length, _codes.Length - at);
        return codes[..first].SequenceEqual(_codes.AsSpan(at, first)) && codes[first..].SequenceEqual(_codes.AsSpan(0, codes.Length - first));
    }

    private int GrainOf(long scan) => (int)(((scan + 1) >> BlockBits) & (_grains.Length - 1));

    private void MeetSingle(long scan)
    {
        if (((scan + 1) & (BlockScans - 1)) == 0) _grains[GrainOf(scan)] = 1;
    }

    /// <summary>Works out the running sums of a block where the one at <paramref name="scan"/> may be missing.</summary>
    private void Complete(long scan)
    {
        int grain = GrainOf(scan);
        if (((scan + 2) & (_grains[grain] - 1)) == 0) return;
        _grains[grain] = 1;
        long start = ((scan + 1) & -BlockScans) - 1, end = start + BlockScans;
        if (end <= End)
        {
            // From the end on down: the scans at its start may have left already.
            long sum = _sums[(end - 1) & _mask], moment = _moments[(end - 1) & _mask];
            for (long i = end - 1; i > Math.Max(start, Oldest - 1); i--)
            {
                sum = unchecked(sum - this[i]);
                moment = unchecked(moment - (i * this[i]));
                _sums[(i - 1) & _mask] = sum;
                _moments[(i - 1) & _mask] = moment;
            }

            return;
        }

        long sumBefore = start > 0 ? _sums[(start - 1) & _mask] : 0, momentBefore = start > 0 ? _moments[(start - 1) & _mask] : 0;
        for (long i = Math.Max(0, start); i < End; i++)
        {
            sumBefore = unchecked(sumBefore + this[i]);
            momentBefore = unchecked(momentBefore + (i * this[i]));
            _sums[i & _mask] = sumBefore;
            _moments[i & _mask] = momentBefore;
        }
    }
}
