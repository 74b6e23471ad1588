namespace Acquire.Harness.Inspect.Spectra;

/// <summary>Correlation of pairs, summed relative to the first pair.</summary>
internal sealed class Correlation
{
    // 2^16 pairs of 16 bits: no sum below comes near 64 bits.
    private const int MostAtOnce = 1 << 16;

    private double _x0, _y0, _x, _y, _xx, _yy, _xy;
    private long _count;

    /// <summary>Squared correlation, pairs, and standard deviation of the first member; correlation 0 where either does not vary.</summary>
    public (double Squared, long Count, double Spread) Result
    {
        get
        {
            double xx = (_count * _xx) - (_x * _x), yy = (_count * _yy) - (_y * _y), xy = (_count * _xy) - (_x * _y);
            double squared = xx > 0 && yy > 0 && xy > 0 ? xy * xy / (xx * yy) : 0;
            return (squared, _count, _count == 0 ? 0 : Math.Sqrt(Math.Max(0, xx)) / _count);
        }
    }

    /// <summary>Takes a pair.</summary>
    public void Add(double x, double y)
    {
        if (_count++ == 0) (_x0, _y0) = (x, y);
        x -= _x0;
        y -= _y0;
        _x += x;
        _y += y;
        _xx += x * x;
        _yy += y * y;
        _xy += x * y;
    }

    /// <summary>Takes a pair of every scan, summed exactly; pairs taken before must be of whole numbers.</summary>
    /// <param name="scans">Interleaved words, whole scans.</param>
    /// <param name="channelCount">Words in a scan.</param>
    /// <param name="first">Channel of the first member.</param>
    /// <param name="second">Channel of the second member.</param>
    public void Add(ReadOnlySpan<ushort> scans, int channelCount, int first, int second)
    {
        if (scans.IsEmpty) return;
        if (_count == 0) (_x0, _y0) = (scans[first], scans[second]);
        long x0 = (long)_x0, y0 = (long)_y0;
        while (!scans.IsEmpty)
        {
            int count = Math.Min(scans.Length / channelCount, MostAtOnce);
            PairSums sums = PairSums.Of(scans[..(count * channelCount)], channelCount, first, second);
            _count += count;
            _x += sums.X - (count * x0);
            _y += sums.Y - (count * y0);
            _xx += sums.XX - (2 * x0 * sums.X) + (count * x0 * x0);
            _yy += sums.YY - (2 * y0 * sums.Y) + (count * y0 * y0);
            _xy += sums.XY - (x0 * sums.Y) - (y0 * sums.X) + (count * x0 * y0);
            scans = scans[(count * channelCount)..];
        }
    }
}
