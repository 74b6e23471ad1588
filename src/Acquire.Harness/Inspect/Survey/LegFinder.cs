namespace Acquire.Harness.Inspect.Survey;

/// <summary>Cuts one channel into legs, from turning point to turning point, without knowing its range beforehand.</summary>
/// <remarks>
/// A turn counts when the code has come back by an eighth of the range seen so far. Waiting at a turning point belongs to no leg: the
/// measured part begins when the code leaves the start for good and ends when it reached the end.
/// </remarks>
internal sealed class LegFinder
{
    private const int ShortestMeasured = 8;

    private long _time;
    private int _lowest = int.MaxValue, _highest = int.MinValue;
    private int _direction;
    private int _start, _extreme;
    private LineSums _sums, _atExtreme;
    private int _extremeOfSums;

    /// <summary>Takes the next code.</summary>
    /// <param name="code">Code.</param>
    /// <param name="leg">The leg that this code ended.</param>
    /// <returns>Whether a leg ended.</returns>
    public bool Add(ushort code, out Leg leg)
    {
        leg = default;
        _lowest = Math.Min(_lowest, code);
        _highest = Math.Max(_highest, code);
        int hysteresis = Math.Max(4, (_highest - _lowest) / 8);
        long time = _time++;

        if (_direction == 0)
        {
            if (code - _lowest >= hysteresis) Begin(+1, _lowest, code, time);
            else if (_highest - code >= hysteresis) Begin(-1, _highest, code, time);
            return false;
        }

        int beyond = (code - _extreme) * _direction;
        if (-beyond >= hysteresis)
        {
            leg = new Leg(_direction > 0, Math.Abs(_extreme - _start), _atExtreme.Count, _atExtreme.Straightness(ShortestMeasured));
            Begin(-_direction, _extreme, code, time);
            return true;
        }

        // Still beside the start: what was summed so far was waiting, not moving.
        if (Math.Abs(code - _start) < hysteresis / 2) _sums = new LineSums(time, code);
        _sums.Add(time, code);
        if (beyond > 0) _extreme = code;
        if ((code - _extremeOfSums) * _direction > hysteresis / 8)
        {
            _extremeOfSums = code;
            _atExtreme = _sums;
        }

        return false;
    }

    /// <summary>The next code does not follow on the last one: the leg under way is dropped.</summary>
    public void Break()
    {
        _direction = 0;
        _lowest = int.MaxValue;
        _highest = int.MinValue;
    }

    private void Begin(int direction, int start, int code, long time)
    {
        _direction = direction;
        _start = start;
        _extreme = code;
        _extremeOfSums = code;
        _sums = new LineSums(time, code);
        _sums.Add(time, code);
        _atExtreme = _sums;
    }

    /// <summary>Sums of a straight-line fit, relative to their first point so that large times lose no digits.</summary>
    private struct LineSums(long originTime, int originCode)
    {
        private double _t, _c, _tt, _tc, _cc;

        public long Count { get; private set; }

        public void Add(long time, int code)
        {
            double t = time - originTime, c = code - originCode;
            Count++;
            _t += t;
            _c += c;
            _tt += t * t;
            _tc += t * c;
            _cc += c * c;
        }

        public readonly double Straightness(int shortest)
        {
            if (Count < shortest) return double.NaN;
            double tt = (Count * _tt) - (_t * _t), cc = (Count * _cc) - (_c * _c), tc = (Count * _tc) - (_t * _c);
            return tt > 0 && cc > 0 ? tc * tc / (tt * cc) : double.NaN;
        }
    }
}
