namespace Acquire.Harness.Inspect.Survey;

/// <summary>Legs of one channel by height and direction, so that the tall ones can be told from wiggles once the range is known.</summary>
internal sealed class LegSurvey
{
    // Quarter octaves of height: 65,536 codes are 16 octaves.
    private const int StepsPerOctave = 4;

    private readonly LegFinder _finder = new();
    private ushort _before, _last;
    private int _known;
    private readonly LegStatistics[] _rising = Make();
    private readonly LegStatistics[] _falling = Make();

    /// <summary>Takes the next code.</summary>
    /// <remarks>The middle one of three in a row goes on, so that a spike of a single scan is no turning point.</remarks>
    public void Add(ushort code)
    {
        ushort middle = Math.Max(Math.Min(_before, _last), Math.Min(Math.Max(_before, _last), code));
        _before = _last;
        _last = code;
        if (_known < 2)
        {
            _known++;
            return;
        }

        if (!_finder.Add(middle, out Leg leg)) return;
        int step = (int)Math.Ceiling(StepsPerOctave * Math.Log2(Math.Max(1, leg.ExcursionCodes)));
        (leg.Rising ? _rising : _falling)[step].Add(leg);
    }

    /// <summary>Takes the next codes.</summary>
    public void Add(ReadOnlySpan<ushort> codes)
    {
        foreach (ushort code in codes) Add(code);
    }

    /// <summary>The next code does not follow on the last one.</summary>
    public void Break()
    {
        _known = 0;
        _finder.Break();
    }

    /// <summary>Legs of at least a given height.</summary>
    /// <param name="codes">Height in codes; rounded up to a quarter octave.</param>
    public (LegStatistics Rising, LegStatistics Falling) Taller(double codes)
    {
        LegStatistics rising = new(), falling = new();
        int from = (int)Math.Floor(StepsPerOctave * Math.Log2(Math.Max(1, codes))) + 1;
        for (int step = from; step < _rising.Length; step++)
        {
            rising.Add(_rising[step]);
            falling.Add(_falling[step]);
        }

        return (rising, falling);
    }

    private static LegStatistics[] Make() =>
        [.. Enumerable.Range(0, (16 * StepsPerOctave) + 1).Select(_ => new LegStatistics())];
}
