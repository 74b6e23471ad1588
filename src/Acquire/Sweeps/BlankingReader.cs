namespace Acquire.Sweeps;

/// <summary>Tells from the blanking line whether the beam is off: two levels, a threshold between them, a polarity, all given or learnt.</summary>
/// <remarks>
/// What is not given is learnt: the levels are the lowest and the highest code seen, once they are a tenth of the converter apart; the
/// state in which most scans of a sweep lie is the one in which the beam is on. Until a sweep has ended by which that is known nothing is blanked.
/// </remarks>
internal sealed class BlankingReader
{
    // A line within the hysteresis keeps the state of the last decided scan; it is looked for this far back.
    private const int LookBack = 256;

    private readonly BlankingOptions _options;
    private readonly Capture.LossRecord _loss;
    private readonly int _full;
    private int _lowest = int.MaxValue;
    private int _highest = int.MinValue;
    private long _highInSweep;
    private long _lowInSweep;

    /// <param name="options">What is given of it.</param>
    /// <param name="fullCode">2^bits - 1.</param>
    /// <param name="scanRateHz">Scans a second, or null.</param>
    /// <param name="loss">Where scans are missing.</param>
    public BlankingReader(BlankingOptions options, int fullCode, double? scanRateHz, Capture.LossRecord loss)
    {
        _loss = loss;
        _options = options;
        _full = fullCode;
        long lead = (long)Math.Round(options.LeadSeconds * (scanRateHz ?? 0));
        (Lead, Lag) = (Math.Max(0, lead), (int)Math.Max(0, -lead));
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

    /// <summary>A sweep has ended: where the line showed no second level before, it may have now.</summary>
    /// <param name="scans">Where its scans are, as far back as they go.</param>
    /// <param name="channel">The line's channel.</param>
    /// <param name="start">Its first scan.</param>
    /// <param name="end">One past its last.</param>
    public void LearnFrom(Capture.ScanHistory scans, int channel, long start, long end)
    {
        if (HighIsBlanked is not null || Levels is null) return;
        ForgetVotes();
        for (long scan = Math.Max(start, scans.Oldest); scan < end; scan++) InSweep(scans, channel, scan);
        LearnPolarity();
        ForgetVotes();
    }

    /// <summary>Takes the vote.</summary>
    public void LearnPolarity()
    {
        if (_options.HighIsBlanked is null && _highInSweep + _lowInSweep > 0) HighIsBlanked = _lowInSweep >= _highInSweep;
    }

    /// <summary>Whether the beam is off at a scan.</summary>
    public bool IsBlanked(Capture.ScanHistory scans, int channel, long scan) =>
        HighIsBlanked is { } polarity && State(scans, channel, scan) == polarity;

    /// <summary>Scans by which the line changes before the beam does.</summary>
    public long Lead { get; }

    /// <summary>Scans by which it changes after the beam does: what it says is to be put beside the scan so many before, see <see cref="BlankingLag"/>.</summary>
    public int Lag { get; }

    /// <summary>The codes of which <see cref="Take"/> learns nothing; where there are none the first is above the last.</summary>
    public (int First, int Last) CodesKnown => (_lowest, _highest);

    /// <summary>The codes that say by themselves, whatever came before them, that the beam is on; where there are none the first is above the last.</summary>
    public (int First, int Last) CodesOfBeamOn => HighIsBlanked is not { } polarity || Levels is not { } levels
        ? (0, ushort.MaxValue)
        : polarity ? (0, levels.Low - 1) : (levels.High + 1, _full);

    /// <summary>Scans [from, to) say by themselves that the beam is on at all of some others.</summary>
    /// <param name="scans">Where they are.</param>
    /// <param name="first">First scan of the others.</param>
    /// <param name="end">One past the last of them.</param>
    public (long From, long To) Deciding(Capture.ScanHistory scans, long first, long end) => (At(scans, first), At(scans, end - 1) + 1);

    // The line changes before the beam does: what it says now holds that many scans later. What it said before scans went missing is of another time.
    private long At(Capture.ScanHistory scans, long scan) =>
        Math.Clamp(scan - Lead, Lead == 0 ? scans.Oldest : Math.Max(scans.Oldest, _loss.SegmentStartOf(scan)), scans.End - 1);

    // A code below the first is low, one above the second is high, one between them or beyond the bits is what the one before it was.
    private (int Low, int High)? Levels
    {
        get
        {
            bool twoLevels = _highest - _lowest >= _full / 10;
            if (_options.ThresholdCode is null && !twoLevels) return null;
            int threshold = _options.ThresholdCode ?? ((_lowest + _highest) / 2);
            int hysteresis = _options.HysteresisCodes ?? (twoLevels ? (_highest - _lowest) / 8 : 0);
            return (threshold - hysteresis, threshold + hysteresis);
        }
    }

    private bool? State(Capture.ScanHistory scans, int channel, long scan)
    {
        if (Levels is not { } levels) return null;
        long at = At(scans, scan);
        for (long i = at; i >= scans.Oldest && i > at - LookBack; i--)
        {
            int code = scans[i, channel];
            if (code > _full) continue;
            if (code > levels.High) return true;
            if (code < levels.Low) return false;
        }

        return scans[at, channel] is var last && last <= _full ? last > (levels.Low + levels.High) / 2 : null;
    }
}
