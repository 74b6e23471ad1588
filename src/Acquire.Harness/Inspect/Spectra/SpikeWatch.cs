namespace Acquire.Harness.Inspect.Spectra;

/// <summary>Counts single scans that jump off a channel's course and are back at the next scan.</summary>
internal sealed class SpikeWatch
{
    private readonly double _leastAnywhere;
    private double _least;
    private int _before, _last, _known;

    /// <summary>Begins at any scan.</summary>
    /// <param name="leastCodes">Height from which a jump counts, in codes.</param>
    public SpikeWatch(double leastCodes) => _leastAnywhere = _least = leastCodes;

    /// <summary>Spikes.</summary>
    public long Count { get; private set; }

    /// <summary>Index of the first; -1 where there is none.</summary>
    public long FirstScan { get; private set; } = -1;

    /// <summary>The next code does not follow on the last one.</summary>
    /// <param name="atLeastCodes">Height from which a jump counts from here on, if more than the general one.</param>
    public void Begin(double atLeastCodes)
    {
        _known = 0;
        _least = Math.Max(_leastAnywhere, atLeastCodes);
    }

    /// <summary>Takes a code.</summary>
    public void Add(long scan, ushort code)
    {
        if (_known == 2)
        {
            double jump = Math.Abs(_last - ((_before + code) / 2.0));
            if (jump > _least && Math.Abs(code - _before) < jump / 2)
            {
                if (Count++ == 0) FirstScan = scan - 1;
            }
        }
        else
        {
            _known++;
        }

        _before = _last;
        _last = code;
    }
}
