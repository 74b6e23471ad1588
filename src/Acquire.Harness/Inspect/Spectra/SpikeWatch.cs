namespace Acquire.Harness.Inspect.Spectra;

/// <summary>Counts single scans that jump off a channel's course and are back at the next scan.</summary>
/// <param name="leastCodes">Height from which a jump counts, in codes.</param>
internal sealed class SpikeWatch(double leastCodes)
{
    private int _before, _last, _known;

    /// <summary>Spikes.</summary>
    public long Count { get; private set; }

    /// <summary>Index of the first; -1 where there is none.</summary>
    public long FirstScan { get; private set; } = -1;

    /// <summary>The next code does not follow on the last one.</summary>
    public void Break() => _known = 0;

    /// <summary>Takes a code.</summary>
    public void Add(long scan, ushort code)
    {
        if (_known == 2)
        {
            double jump = Math.Abs(_last - ((_before + code) / 2.0));
            if (jump > leastCodes && Math.Abs(code - _before) < jump / 2)
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
