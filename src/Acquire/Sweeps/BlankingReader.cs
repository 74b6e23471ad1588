namespace Acquire.Sweeps;

/// <summary>Tells from the blanking line whether the beam is off: two levels, a threshold between them, a polarity, all given or learnt.</summary>
/// <remarks>
/// What is not given is learnt: the levels are the lowest and the highest code seen, once they are a tenth of the converter apart; the
/// state in which most scans of a sweep lie is the one in which the beam is on. Until then nothing is blanked.
/// </remarks>
internal sealed class BlankingReader
{
    // A line within the hysteresis keeps the state of the last decided scan; it is looked for this far back.
    private const int LookBack = 256;

    private readonly BlankingOptions _options;
    private readonly int _full;
    private readonly long _lead;
    private int _lowest = int.MaxValue;
    private int _highest = int.MinValue;
    private long _highInSweep;
    private long _lowInSweep;

    public BlankingReader(BlankingOptions options, int fullCode, double? scanRateHz)
    {
        _options = options;
        _full = fullCode;
        _lead = (long)Math.Round(options.LeadSeconds * (scanRateHz ?? 0));
        HighIsBlanked = options.HighIsBlanked;
    }

    /// <summary>Whether a high line says that the beam is off; null while not known.</summary>
    public bool? HighIsBlanked { get; private set; }

    /// <summary>Takes the code of the next scan.</summary>
    public void Take(ushort code)
    {
        if (code > _full) return;
        if (code < _lowest) _lowest = code;
        if (code > _highest) _highest = code;
    }

    /// <summary>Before the polarity is learnt anew.</summary>
    public void ForgetVotes() => _highInSweep = _lowInSweep = 0;

    /// <summary>A scan lies in a sweep.</summary>
    public void InSweep(Capture.ScanHistory scans, int channel, long scan)
    {
        if (State(scans, channel, scan) is not { } high) return;
        if (high) _highInSweep++;
        else _lowInSweep++;
    }

    /// <summary>Takes the vote.</summary>
    public void LearnPolarity()
    {
        if (_options.HighIsBlanked is null && _highInSweep + _lowInSweep > 0) HighIsBlanked = _lowInSweep >= _highInSweep;
    }

    /// <summary>Whether the beam is off at a scan.</summary>
    public bool IsBlanked(Capture.ScanHistory scans, int channel, long scan) =>
        HighIsBlanked is { } polarity && State(scans, channel, scan) == polarity;

    private bool? State(Capture.ScanHistory scans, int channel, long scan)
    {
        bool twoLevels = _highest - _lowest >= _full / 10;
        if (_options.ThresholdCode is null && !twoLevels) return null;
        int threshold = _options.ThresholdCode ?? ((_lowest + _highest) / 2);
        int hysteresis = _options.HysteresisCodes ?? (twoLevels ? (_highest - _lowest) / 8 : 0);
        // The line changes before the beam does: what it says now holds that many scans later.
        long at = Math.Clamp(scan - _lead, scans.Oldest, scans.End - 1);
        for (long i = at; i >= scans.Oldest && i > at - LookBack; i--)
        {
            int code = scans[i, channel];
            if (code > threshold + hysteresis) return true;
            if (code < threshold - hysteresis) return false;
        }

        return scans[at, channel] > threshold;
    }
}
