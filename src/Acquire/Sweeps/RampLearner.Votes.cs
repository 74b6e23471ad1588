namespace Acquire.Sweeps;

// How much each leg says for a direction, and when it is enough.
internal sealed partial class RampLearner
{
    private const double LeastMovingScans = 3.4;

    // Shares of the way of the leg before.
    private const double PacedFrom = 0.1, PacedTo = 0.4;

    // Of a flyback's way: what comes back by less behind it is a swing of a flyback that rings, or a sweep that its own flyback will count.
    private const double RungBack = 0.5;

    // Behind a sweep so many legs of less than half of its way are passed over; where more come they are the sweeps.
    private const int MostSmall = 2;

    private int _small;
    private long _pacedFrom = -1;
    private bool _isPaced;

    /// <summary>Which legs draw, as far as it can be told before there is a vote: of two the one that takes longer, of one alone that one.</summary>
    private void TellDrawing(RampLeg leg, LegShape shape)
    {
        if (_wanted != RampDirection.Auto || !(shape.MovingScans > 0)) return;
        int way = leg.Up ? 1 : -1;
        if (_drawing == 0) _drawing = way;
        _pacedFrom = -1;
        _isPaced = _haveLast;
        if (!_haveLast) return;
        if (shape.RunningScans >= FasterBack * _lastShape.RunningScans) _drawing = way;
        else if (_lastShape.RunningScans >= FasterBack * shape.RunningScans) _drawing = _last.Up ? 1 : -1;
    }

    /// <summary>After the first leg, which may have been a flyback: whether the one under way is slower shows in a part of its way, and rests do not count there.</summary>
    private void Pace(long scan, double way)
    {
        if (_isPaced || !_haveLast || _wanted != RampDirection.Auto || way < PacedFrom * _lastShape.Amplitude) return;
        if (_pacedFrom < 0) _pacedFrom = scan;
        if (way < PacedTo * _lastShape.Amplitude) return;
        _isPaced = true;
        if (scan - _pacedFrom >= (PacedTo - PacedFrom) * FasterBack * _lastShape.RunningScans) _drawing = _direction;
    }

    private bool Vote(RampLeg a, LegShape sa, RampLeg b, LegShape sb)
    {
        if (Math.Max(sa.Amplitude, sb.Amplitude) < SmallestAmplitude) return false;
        double ratio = sa.MovingScans / Math.Max(sb.MovingScans, 1e-9), running = sa.RunningScans / Math.Max(sb.RunningScans, 1e-9);
        bool slowFirst = running >= FasterBack, slowLast = running <= 1 / FasterBack;
        if (_wanted is RampDirection.Rising or RampDirection.Falling)
        {
            slowFirst = a.Up == (_wanted == RampDirection.Rising);
            slowLast = !slowFirst;
        }

        if (_wanted != RampDirection.Both)
        {
            if (slowFirst && sb.Amplitude >= 0.6 * sa.Amplitude) return Count(a, sa);
            if (slowLast && sa.Amplitude >= 0.6 * sb.Amplitude && sb.Amplitude >= RungBack * sa.Amplitude) return Count(b, sb);
        }

        bool both = _wanted == RampDirection.Both ||
                    (!slowFirst && !slowLast && sa.MovingShare > 0.92 && sb.MovingShare > 0.92 &&
                     Math.Abs(sa.Amplitude - sb.Amplitude) < 0.05 * sa.Amplitude && ratio is > 0.85 and < 1.18);
        if (both && sa.Straight && sb.Straight) return Count(2, WeightOf(sb), b, sb, RampDirection.Both);
        // A ramp that draws both ways does so leg after leg; of the legs of a walk two pairs somewhere are alike by chance.
        if (_wanted == RampDirection.Auto) _votes[2] = 0;
        return false;
    }

    private bool Count(RampLeg leg, LegShape shape)
    {
        // A sweep has five scans or more; what moves faster is the edge of something else.
        if (shape.MovingScans < LeastMovingScans || IsSmall(shape)) return false;
        int which = leg.Up ? 0 : 1;
        if (!shape.Straight)
        {
            _votes[which] = 0;
            _against[which] = Math.Min(_against[which] + 2, MostAgainst);
            return false;
        }

        if (_against[which] > 0)
        {
            // For every leg that was no sweep, two that could be are wanted before any counts.
            _against[which] = _against[which] - 1;
            return false;
        }

        return Count(which, WeightOf(shape), leg, shape, leg.Up ? RampDirection.Rising : RampDirection.Falling);
    }

    /// <summary>Whether a leg is far smaller than the sweep counted last: what a ramp does between sweeps, as where its rest is not at its start, says nothing of them.</summary>
    private bool IsSmall(LegShape shape)
    {
        double largest = 0;
        for (int i = 0; i < 2; i++)
            if (_votes[i] > 0) largest = Math.Max(largest, _countedShape[i].Amplitude);
        if (shape.Amplitude < RungBack * largest) return ++_small <= MostSmall;
        _small = 0;
        return false;
    }

    // The fewer scans, the likelier that chance has made them straight and alike.
    private static double WeightOf(LegShape shape) => shape.MovingScans >= 50 ? 0.5 : shape.MovingScans >= 16 ? 0.34 : 0.2;

    private bool Count(int which, double weight, RampLeg leg, LegShape shape, RampDirection direction)
    {
        if (_votes[which] > 0 && _counted[which] == leg) return false;
        for (int i = 0; i < _votes.Length; i++)
            if (i != which) _votes[i] = 0;
        _counted[which] = leg;
        _countedShape[which] = shape;
        double step = shape.Amplitude / Math.Max(1, shape.MovingScans);
        double tolerance = (0.015 * shape.Amplitude) + (1.5 * step) + (4 * _history.Noise.Sigma);
        double start = leg.Up ? shape.StartCode : shape.EndCode, end = leg.Up ? shape.EndCode : shape.StartCode;
        bool same = _votes[which] > 0 && Math.Abs(start - _startCode[which]) < tolerance && Math.Abs(end - _endCode[which]) < tolerance;
        double pace = _votes[which] > 0 ? shape.MovingScans / _countedMoving[which] : 1;
        same &= pace is > 0.75 and < 1.33 || Math.Abs(shape.MovingScans - _countedMoving[which]) < 2.5;
        _countedMoving[which] = shape.MovingScans;
        _votes[which] = same ? _votes[which] + weight : weight;
        _startCode[which] = start;
        _endCode[which] = end;
        // One long sweep is believed when the next no longer fits the history.
        bool crowded = _history.End - leg.Start > Crowd * _history.Capacity;
        if (_votes[which] < 0.99 && !(crowded && weight >= 0.5)) return false;
        Lock(direction, leg, shape);
        return true;
    }

    private void Lock(RampDirection direction, RampLeg leg, LegShape shape)
    {
        double low = Math.Min(shape.StartCode, shape.EndCode), high = Math.Max(shape.StartCode, shape.EndCode);
        Found = new RampLock(direction, low, high, LocalDeviation(leg), shape.OffCodes);
        if (_wanted == RampDirection.Auto) _drawing = direction switch { RampDirection.Rising => 1, RampDirection.Falling => -1, _ => 0 };
    }

    /// <summary>Deviation of the leg's scans around lines through a thirtieth of it: noise and hum, but not a bow, nor a kink or two.</summary>
    private double LocalDeviation(RampLeg leg)
    {
        long n = leg.End - leg.Start;
        long window = Math.Max(8, n / 33);
        int count = 0;
        for (long from = Math.Max(leg.Start + (n / 10), _history.Oldest); from + window < leg.End - (n / 10) && count < _deviations.Length; from += window)
        {
            _deviations[count++] = OffLine(from, from + window);
        }

        double noise = _history.Noise.Sigma;
        // Of a sweep of a few scans most second differences lie at turning points: what is left of a line through it is the better guess.
        if (n is >= 4 and < 24) return Math.Max(RampNoise.Floor, Math.Min(noise, OffInside(leg)));
        if (count < 3) return noise;
        Array.Sort(_deviations, 0, count);
        double sigma = _deviations[count / 2];
        // Steep legs: what is left of a line through eight scans says more of the ramp's shape than of its noise.
        return window <= 8 ? Math.Max(noise, Math.Min(sigma, 2 * noise)) : Math.Max(sigma, noise * 0.5);
    }

    /// <summary>Deviation of a short leg from a line, without the scans of a rest at its start or a turn at its end.</summary>
    private double OffInside(RampLeg leg)
    {
        double least = OffLine(leg.Start, leg.End + 1);
        for (long from = leg.Start; from <= leg.Start + (leg.End - leg.Start) / 2; from++)
            for (long to = leg.End; to <= leg.End + 1; to++)
                if (to - from >= 4) least = Math.Min(least, OffLine(from, to));
        return least;
    }

    /// <summary>Deviation of scans [from, to), at least three, from the line through them.</summary>
    private double OffLine(long from, long to)
    {
        LineFit fit = _history.Fit(from, to);
        double sum = 0;
        for (long scan = from; scan < to; scan++)
        {
            double off = _history[scan] - fit.After(scan - to + 1);
            sum += off * off;
        }

        return Math.Sqrt(sum / (to - from - 2));
    }
}
