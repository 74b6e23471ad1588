namespace Acquire.Sweeps;

// What can be said when no more is to come: from half of the votes, from pieces between losses, from one leg.
internal sealed partial class RampLearner
{
    private readonly PartialLeg[] _partials = new PartialLeg[2];

    /// <summary>The stretch has ended: is what was seen so far a sweep or part of one?</summary>
    public bool Conclude()
    {
        if (ConcludeFromVotes()) return true;
        if (ConcludeFromPartials()) return true;
        if (_direction == 0 || _legs > 3) return false;
        long start = _direction > 0 ? _lowAt : _highAt, end = _direction > 0 ? _highAt : _lowAt;
        if (start < _history.Oldest || end <= start) return false;
        RampLeg leg = new(_direction > 0, start, end);
        LegShape shape = _judge.Measure(leg, _history.Noise.Sigma);
        if (_haveLast && (Vote(_last, _lastShape, leg, shape) || ConcludeFromVotes())) return true;
        RampLeg best = leg;
        LegShape bestShape = shape;
        if (_haveLast && _lastShape.Straight && _lastShape.Amplitude > 0.6 * shape.Amplitude && _lastShape.RunningScans > shape.RunningScans)
        {
            best = _last;
            bestShape = _lastShape;
        }

        if (!bestShape.Straight || bestShape.MovingScans < 50 || bestShape.Amplitude < SmallestAmplitude) return false;
        if (!Allows(best.Up)) return false;
        Lock(DirectionOf(best.Up), best, bestShape);
        return true;
    }

    private bool ConcludeFromVotes()
    {
        for (int which = 0; which < _votes.Length; which++)
        {
            // Half of the evidence will do when there is no more to come.
            double enough = which == 2 && _wanted != RampDirection.Both ? 0.99 : 0.5;
            if (_votes[which] < enough || (which < 2 && _against[which] > 0)) continue;
            Lock((RampDirection)(which + 1), _counted[which], _countedShape[which]);
            return true;
        }

        return false;
    }

    /// <summary>A gap may cut every leg: straight pieces still say which way sweeps go, if there are enough of them.</summary>
    private void KeepPartial()
    {
        RampLeg leg = _direction > 0 ? new RampLeg(true, _lowAt, _highAt) : new RampLeg(false, _highAt, _lowAt);
        if (leg.Start < _history.Oldest || leg.End <= leg.Start) return;
        KeepPiece(leg, _judge.Measure(leg, _history.Noise.Sigma));
    }

    private void KeepPiece(RampLeg leg, LegShape shape)
    {
        if (shape.Amplitude < SmallestAmplitude) return;
        ref PartialLeg kept = ref _partials[leg.Up ? 0 : 1];
        kept = kept with { Codes = kept.Codes + shape.Amplitude, Moving = kept.Moving + shape.RunningScans };
        if (shape.MovingScans < 16) return;
        if (!shape.Straight)
        {
            kept.Bent++;
            return;
        }

        bool larger = shape.Amplitude > kept.Shape.Amplitude;
        kept = kept with
        {
            Leg = larger ? leg : kept.Leg,
            Shape = larger ? shape : kept.Shape,
            Scans = kept.Scans + shape.MovingScans,
            Count = kept.Count + 1,
        };
    }

    private bool ConcludeFromPartials()
    {
        if (_direction != 0) KeepPartial();
        PartialLeg up = _partials[0], down = _partials[1];
        PartialLeg more = up.Scans >= down.Scans ? up : down, less = up.Scans >= down.Scans ? down : up;
        if (up.Pace > 0 && down.Pace > 0 && _wanted == RampDirection.Auto)
        {
            // Seen both ways: the slower one is the sweep, as with whole legs.
            (more, less) = up.Pace < down.Pace ? (up, down) : (down, up);
            if (less.Pace < FasterBack * more.Pace) return false;
        }
        else if (_wanted != RampDirection.Both && more.Scans < 2 * less.Scans)
        {
            return false;
        }

        if (more.Count < 1 + (2 * more.Bent) || more.Scans < 50 || !Allows(more.Leg.Up) || more.Leg.Start < _history.Oldest) return false;
        Lock(DirectionOf(more.Leg.Up), more.Leg, more.Shape);
        return true;
    }

    /// <param name="Leg">The largest straight one.</param>
    /// <param name="Shape">Its shape.</param>
    /// <param name="Scans">Scans in which straight ones move.</param>
    /// <param name="Count">Straight ones.</param>
    /// <param name="Bent">Others.</param>
    /// <param name="Codes">Way of all.</param>
    /// <param name="Moving">Scans in which all move.</param>
    private record struct PartialLeg(RampLeg Leg, LegShape Shape, double Scans, int Count, int Bent, double Codes, double Moving)
    {
        public readonly double Pace => Moving > 0 ? Codes / Moving : 0;
    }
}
