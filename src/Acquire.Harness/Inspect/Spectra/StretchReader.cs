namespace Acquire.Harness.Inspect.Spectra;

/// <summary>Collects the middle of one sweep of one channel: all of it as means of scans, and a part of it at full rate.</summary>
internal sealed class StretchReader
{
    private readonly StretchLengths _lengths;
    private readonly double[] _points;
    private readonly double[] _fullRate;
    private long _first, _fullRateFirst;
    private double _sum;
    private int _inPoint, _count, _fullRateCount;

    /// <summary>Allocates for sweeps of given lengths.</summary>
    public StretchReader(StretchLengths lengths)
    {
        _lengths = lengths;
        _points = new double[lengths.Points];
        _fullRate = new double[lengths.FullRatePoints];
    }

    /// <summary>Whether the stretch was filled.</summary>
    public bool Filled => _count == _points.Length && _fullRateCount == _fullRate.Length;

    /// <summary>Means of scans, in order; owned by this object and overwritten by the next sweep.</summary>
    public Span<double> Points => _points;

    /// <summary>Scans at full rate from the middle; empty where the points are at full rate already.</summary>
    public Span<double> FullRate => _fullRate;

    /// <summary>A sweep begins.</summary>
    /// <param name="scans">Its length.</param>
    public void Begin(long scans)
    {
        _first = (scans - ((long)_lengths.Points * _lengths.ScansPerPoint)) / 2;
        _fullRateFirst = (scans - _fullRate.Length) / 2;
        _sum = 0;
        _inPoint = 0;
        _count = 0;
        _fullRateCount = 0;
    }

    /// <summary>Takes a code.</summary>
    /// <param name="offset">Scans of the sweep before this one.</param>
    /// <param name="code">Code.</param>
    public void Add(long offset, ushort code)
    {
        if (offset >= _fullRateFirst && _fullRateCount < _fullRate.Length) _fullRate[_fullRateCount++] = code;
        if (offset < _first || _count == _points.Length) return;
        _sum += code;
        if (++_inPoint < _lengths.ScansPerPoint) return;
        _points[_count++] = _sum / _inPoint;
        _sum = 0;
        _inPoint = 0;
    }
}
