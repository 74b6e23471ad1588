namespace Acquire.Sources.Synthetic;

/// <summary>Which loss comes next, counted in delivered scans.</summary>
internal sealed class LossSchedule
{
    private readonly LossModel _model;
    private readonly GapAt[] _gaps;
    private readonly BreakAt[] _breaks;
    private readonly SeedStream _gapPlace, _gapLength, _breakPlace, _breakLength;
    private int _gap, _break;
    private long _randomGap, _randomBreak;
    private long _nextRandomGap, _nextRandomBreak;

    public LossSchedule(SyntheticOptions options)
    {
        _model = options.Loss;
        _gaps = [.. _model.Gaps.OrderBy(g => g.AtScan)];
        _breaks = [.. _model.Breaks.OrderBy(b => b.AtScan)];
        _gapPlace = new(options.Seed, SeedStream.Effect.GapPlace);
        _gapLength = new(options.Seed, SeedStream.Effect.GapLength);
        _breakPlace = new(options.Seed, SeedStream.Effect.BreakPlace);
        _breakLength = new(options.Seed, SeedStream.Effect.BreakLength);
        _nextRandomGap = Distance(_gapPlace, 0, _model.GapEveryScans);
        _nextRandomBreak = Distance(_breakPlace, 0, _model.BreakEveryScans);
    }

    /// <summary>Delivered scans before the next loss; the largest number where none comes.</summary>
    public long NextAtScan => Math.Min(Math.Min(StatedGap, StatedBreak), Math.Min(_nextRandomGap, _nextRandomBreak));

    private long StatedGap => _gap < _gaps.Length ? _gaps[_gap].AtScan : long.MaxValue;

    private long StatedBreak => _break < _breaks.Length ? _breaks[_break].AtScan : long.MaxValue;

    /// <summary>Takes the next loss.</summary>
    /// <returns>Its scans, and whether it is a break, whose scans nobody counts.</returns>
    public (long Scans, bool IsBreak) Take()
    {
        long at = NextAtScan;
        if (StatedGap == at) return (_gaps[_gap++].LostScans, false);
        if (StatedBreak == at) return (_breaks[_break++].HiddenScans, true);
        if (_nextRandomGap == at)
        {
            long lost = 1 + (long)(_gapLength.Uniform(_randomGap++) * _model.GapMaxScans);
            _nextRandomGap = After(at, Distance(_gapPlace, _randomGap, _model.GapEveryScans));
            return (lost, false);
        }

        long hidden = 1 + (long)(_breakLength.Uniform(_randomBreak++) * _model.BreakMaxScans);
        _nextRandomBreak = After(at, Distance(_breakPlace, _randomBreak, _model.BreakEveryScans));
        return (hidden, true);
    }

    private static long After(long at, long distance) => distance > long.MaxValue - at ? long.MaxValue : at + distance;

    private static long Distance(SeedStream stream, long number, double? every) =>
        every is { } mean ? 1 + (long)(-(mean - 1) * PortableMath.Log(stream.Uniform(number))) : long.MaxValue;
}
