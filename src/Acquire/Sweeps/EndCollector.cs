namespace Acquire.Sweeps;

/// <summary>Collects where sweeps start and end, to learn the edges of the screen from all that the history holds.</summary>
internal sealed class EndCollector : ISweepListener
{
    private const int Most = 256;
    private readonly double[] _starts = new double[Most];
    private readonly double[] _ends = new double[Most];
    private readonly double[] _slopes = new double[Most];
    private readonly double[] _pieceSlopes = new double[Most];
    private readonly ISweepProbe? _probe;
    private int _startCount;
    private int _endCount;
    private int _slopeCount;
    private int _pieceSlopeCount;
    private double _least;
    private bool _rising;

    /// <param name="probe">Told of each scan that lies in a sweep, or null.</param>
    public EndCollector(ISweepProbe? probe) => _probe = probe;

    /// <summary>Median slope of the sweeps seen whole, or else of those seen in good part, codes per scan; 0 where there was none.</summary>
    public double UsualSlope
    {
        get
        {
            Span<double> slopes = _slopeCount > 0 ? _slopes.AsSpan(0, _slopeCount) : _pieceSlopes.AsSpan(0, _pieceSlopeCount);
            if (slopes.IsEmpty) return 0;
            slopes.Sort();
            return slopes[slopes.Length / 2];
        }
    }

    public void Reset(in RampLock found)
    {
        _startCount = _endCount = _slopeCount = _pieceSlopeCount = 0;
        _least = 0.1 * (found.HighCode - found.LowCode);
        _rising = found.Direction != RampDirection.Falling;
    }

    /// <summary>What was learnt, with ends from the sweeps seen where there are any.</summary>
    /// <remarks>Given edges have no say: they are where the screen is, which may be a part of the ramp, or more than it.</remarks>
    public RampLock Settle(RampLock found)
    {
        double slope = UsualSlope;
        double span = found.HighCode - found.LowCode;
        double near = (0.01 * span) + (1.2 * slope) + (2 * found.NoiseCodes);
        bool steep = slope > 4 * found.NoiseCodes;
        double start = Commonest(_starts.AsSpan(0, _startCount), near, slope, steep, -1);
        double end = Commonest(_ends.AsSpan(0, _endCount), near, slope, steep, 1);
        double low = double.IsNaN(start) ? (_rising ? found.LowCode : -found.HighCode) : start;
        double high = double.IsNaN(end) ? (_rising ? found.HighCode : -found.LowCode) : end;
        return _rising ? found with { LowCode = low, HighCode = high } : found with { LowCode = -high, HighCode = -low };
    }

    public void SweepBegan(long scan, SweepStart reason, bool rising)
    {
    }

    public void PlacePast(long to, LineFit course, long end)
    {
        // It goes through what the history holds.
    }

    public void Place(long scan, double course, double slope) => _probe?.InSweep(scan);

    public void Confirm(long scan)
    {
    }

    public void SweepEnded(in TrackedSweep sweep)
    {
        // Both ways: a falling pass starts where a rising one ends.
        bool along = sweep.Rising == _rising;
        double sign = _rising ? 1 : -1;
        double first = sign * (along ? sweep.StartCode : sweep.EndCode), last = sign * (along ? sweep.EndCode : sweep.StartCode);
        bool started = sweep.StartReason == SweepStart.Ramp, ended = sweep.EndReason is SweepEnd.Retrace or SweepEnd.Abort;
        if (along ? started : ended) Add(_starts, ref _startCount, first);
        if (along ? ended : started) Add(_ends, ref _endCount, last);
        if (started && ended) Add(_slopes, ref _slopeCount, sweep.SlopeCodes);
        else if (Math.Abs(sweep.EndCode - sweep.StartCode) > _least) Add(_pieceSlopes, ref _pieceSlopeCount, sweep.SlopeCodes);
    }

    public void SweepCancelled()
    {
    }

    public void SegmentEnded(long end, long retraceEnd)
    {
    }

    private static void Add(double[] values, ref int count, double value)
    {
        if (count < Most) values[count++] = value;
    }

    private static double Commonest(ReadOnlySpan<double> values, double reach, double slope, bool steep, int sign)
    {
        if (values.IsEmpty) return double.NaN;
        // The place where most lie; of two as good, the outer one. Sweeps that fly back early end anywhere.
        double sum = 0, outer = values[0];
        int n = 0;
        foreach (double middle in values)
        {
            double near = 0, farthest = middle;
            int count = 0;
            foreach (double v in values)
            {
                if (Math.Abs(v - middle) > reach) continue;
                near += v;
                count++;
                if (sign * v > sign * farthest) farthest = v;
            }

            if (count < n || (count == n && sign * farthest <= sign * outer)) continue;
            (sum, n, outer) = (near, count, farthest);
        }

        // The last scan lies anywhere within one step of the end: the mean half a step, the outermost of n a step / (n + 1).
        return steep ? outer + (sign * slope / (n + 1)) : (sum / n) + (sign * slope / 2);
    }
}
