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

    /// <summary>Takes the next code.</summary>
    public void Add(ushort code, long scan)
    {
        if (code != rail)
        {
            _run = 0;
            return;
        }

        _scans++;
        _run++;
        if (_run == ShortestStay)
        {
            _stays++;
            _inStays += ShortestStay;
            if (_firstStay < 0) _firstStay = scan - ShortestStay + 1;
        }
        else if (_run > ShortestStay)
        {
            _inStays++;
        }
    }

    /// <summary>The next code does not follow on the last one.</summary>
    public void Break() => _run = 0;

    /// <summary>What was seen.</summary>
    public RailReport Report() => new(_scans, _stays, _inStays, _firstStay);
}
