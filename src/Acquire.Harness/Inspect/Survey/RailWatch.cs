namespace Acquire.Harness.Inspect.Survey;

/// <summary>Watches for stretches at one end of the converter's range.</summary>
/// <param name="rail">The end code.</param>
internal sealed class RailWatch(int rail)
{
    /// <summary>Scans in a row that count as staying: noise that just touches the end does not stay.</summary>
    public const int ShortestStay = 4;

    /// <summary>The end code.</summary>
    public int Rail => rail;

    private long _scans, _stays, _inStays, _run;
    private long _firstStay = -1;

    /// <summary>Takes the next codes.</summary>
    /// <param name="codes">Codes that follow on the last ones.</param>
    /// <param name="range">Their range.</param>
    /// <param name="firstScan">Index of the first one's scan.</param>
    public void Add(ReadOnlySpan<ushort> codes, CodeRange range, long firstScan)
    {
        if (range.Lowest > rail || range.Highest < rail)
        {
            _run = 0;
            return;
        }

        int at = 0;
        while (at < codes.Length)
        {
            int away = codes[at..].IndexOf((ushort)rail);
            if (away != 0) _run = 0;
            if (away < 0) return;
            at += away;
            int other = codes[at..].IndexOfAnyExcept((ushort)rail);
            int there = other < 0 ? codes.Length - at : other;
            AddThere(there, firstScan + at);
            at += there;
        }
    }

    /// <summary>The next code does not follow on the last one.</summary>
    public void Break() => _run = 0;

    /// <summary>What was seen.</summary>
    public RailReport Report() => new(_scans, _stays, _inStays, _firstStay);

    private void AddThere(int scans, long firstScan)
    {
        long before = _run;
        _scans += scans;
        _run += scans;
        if (_run < ShortestStay) return;
        if (before >= ShortestStay)
        {
            _inStays += scans;
            return;
        }

        _stays++;
        _inStays += _run;
        if (_firstStay < 0) _firstStay = firstScan - before;
    }
}
