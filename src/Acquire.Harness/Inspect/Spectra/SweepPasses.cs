namespace Acquire.Harness.Inspect.Spectra;

/// <summary>When each sweep passes the same code: by the mean of its middle, so that the ramp's noise is averaged away, which may put the start off by many scans.</summary>
internal sealed class SweepPasses
{
    private readonly List<(double Centre, double Code, double CodesPerScan)> _sweeps = [];
    private long _first, _middle, _end;
    private double _before, _behind;

    /// <summary>A sweep begins.</summary>
    /// <param name="scans">Its length.</param>
    public void Begin(long scans)
    {
        // Without the outer twentieths, where the ramp turns; two halves of the same length.
        long half = Math.Max(1, scans * 9 / 20);
        _first = Math.Max(0, (scans / 2) - half);
        _middle = _first + half;
        _end = _middle + half;
        _before = 0;
        _behind = 0;
    }

    /// <summary>Takes a code.</summary>
    /// <param name="offset">Scans of the sweep before it.</param>
    /// <param name="code">Code.</param>
    public void Add(long offset, ushort code)
    {
        if (offset < _first || offset >= _end) return;
        if (offset < _middle) _before += code;
        else _behind += code;
    }

    /// <summary>The sweep has been shown whole.</summary>
    /// <param name="startPosition">Position of its first scan.</param>
    public void End(long startPosition)
    {
        double half = _middle - _first, before = _before / half, behind = _behind / half;
        _sweeps.Add((startPosition + ((_first + _end - 1) / 2.0), (before + behind) / 2, (behind - before) / half));
    }

    /// <summary>The position at which each sweep passes the code in the middle of all, in scans; not finite where a ramp does not rise or fall.</summary>
    public IReadOnlyList<double> Positions()
    {
        double code = _sweeps.Average(sweep => sweep.Code);
        return [.. _sweeps.Select(sweep => sweep.Centre + ((code - sweep.Code) / sweep.CodesPerScan))];
    }
}
