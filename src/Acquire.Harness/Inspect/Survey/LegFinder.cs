namespace Acquire.Harness.Inspect.Survey;

/// <summary>Cuts one channel into legs, from turning point to turning point, without knowing its range beforehand.</summary>
/// <remarks>
/// A turn counts when the code has come back by an eighth of the range seen so far. Waiting at a turning point belongs to no leg: the
/// measured part begins when the code leaves the start for good and ends when it reached the end. Code by code is the specification;
/// runs of codes give the same legs.
/// </remarks>
internal sealed partial class LegFinder
{
    private const int FewestMeasured = ShortLegs.EndOfScans;

    private readonly Action<Leg> _ended;
    private readonly ShortLegs _short;
    private int _lowest = int.MaxValue, _highest = int.MinValue;
    private int _direction;
    private int _start, _extreme;
    private LegSums _sums, _atExtreme;
    private int _extremeOfSums;

    /// <summary>Begins with no leg.</summary>
    /// <param name="ended">Is handed each leg that ended and is measured.</param>
    /// <param name="tooShort">Gets those too short for it, as long as it is open.</param>
    public LegFinder(Action<Leg> ended, ShortLegs tooShort) => (_ended, _short) = (ended, tooShort);

    private int Hysteresis => Math.Max(4, (_highest - _lowest) / 8);

    /// <summary>Takes the next code.</summary>
    public void Add(ushort code)
    {
        _lowest = Math.Min(_lowest, code);
        _highest = Math.Max(_highest, code);
        int hysteresis = Hysteresis;

        if (_direction == 0)
        {
            if (code - _lowest >= hysteresis) Begin(+1, _lowest, code);
            else if (_highest - code >= hysteresis) Begin(-1, _highest, code);
            return;
        }

        int beyond = (code - _extreme) * _direction;
        if (-beyond >= hysteresis)
        {
            End();
            Begin(-_direction, _extreme, code);
            return;
        }

        // Still beside the start: what was summed so far was waiting, not moving.
        if (Math.Abs(code - _start) < hysteresis / 2) _sums = LegSums.From(code);
        else _sums.Add(code);
        if (beyond > 0) _extreme = code;
        if ((code - _extremeOfSums) * _direction > hysteresis / 8)
        {
            _extremeOfSums = code;
            _atExtreme = _sums;
        }
    }

    /// <summary>The next code does not follow on the last one: the leg under way is dropped.</summary>
    public void Break()
    {
        _direction = 0;
        _lowest = int.MaxValue;
        _highest = int.MinValue;
    }

    private void Begin(int direction, int start, int code)
    {
        _direction = direction;
        _start = start;
        _extreme = code;
        _extremeOfSums = code;
        _sums = LegSums.From(code);
        _atExtreme = _sums;
    }

    private void End() => Ended(_direction > 0, Math.Abs(_extreme - _start), _atExtreme);

    private void Ended(bool rising, int excursion, in LegSums sums)
    {
        if (sums.Count < FewestMeasured) EndedShort(rising, excursion, (int)sums.Count);
        else _ended(new Leg(rising, excursion, sums.Count, sums.Straightness(FewestMeasured)));
    }

    private void EndedShort(bool rising, int excursion, int scans)
    {
        if (_short.Closed) _ended(new Leg(rising, excursion, scans, double.NaN));
        else _short.Add(scans + (rising ? ShortLegs.Rising : 0), (ushort)excursion);
    }
}
