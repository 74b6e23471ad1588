using System.Runtime.InteropServices;

namespace Acquire.Sweeps;

/// <summary>Moves both places scan by scan to where the three pieces explain most.</summary>
/// <param name="history">The ramp.</param>
/// <param name="from">First scan looked at.</param>
/// <param name="to">One past the last.</param>
/// <param name="variance">Of a scan, in codes squared.</param>
/// <param name="sign">1, or -1 where it draws with falling codes.</param>
/// <param name="expected">When the ramp is expected to begin.</param>
/// <param name="feet">Room for what was worked out of places before, see <see cref="Kept"/>; none is in it yet.</param>
/// <param name="starts">The same.</param>
internal readonly ref struct StartRefinement(
    RampHistory history, long from, long to, double variance, double sign, StartTime expected, Span<StartRefinement.Place> feet, Span<StartRefinement.Place> starts)
{
    /// <summary>Places to keep in mind: each is asked for with several others.</summary>
    public const int Kept = 1 << KeptBits;

    private const int KeptBits = 4;

    private readonly Span<Place> _feet = feet;
    private readonly Span<Place> _starts = starts;
    private readonly LineSums _sums = new(history, history.Mean(from, to));
    private readonly RunningSums _first = history.UpTo(from);
    private readonly RunningSums _last = history.UpTo(to);

    /// <summary>The best pair of scans near a pair of blocks, with a rest or without one: a brief one does not show in means of blocks.</summary>
    public StartPlace Near(StartPlace place)
    {
        (StartPlace best, double most) = Climb(place);
        for (long rest = place.Block; rest <= 2 * place.Block; rest += place.Block)
            if (place.Start - place.Foot < rest) (best, most) = Better(place with { Start = place.Foot + rest }, best, most);
        if (place.Start - place.Foot is > 0 and var brief && brief <= 2 * place.Block) (best, most) = Better(place with { Start = place.Foot }, best, most);
        return best;
    }

    private (StartPlace Best, double Most) Better(StartPlace place, StartPlace best, double most)
    {
        (StartPlace other, double explained) = Climb(place);
        return explained > most ? (other, explained) : (best, most);
    }

    private (StartPlace Place, double Explained) Climb(StartPlace place)
    {
        (long foot, long start) = (place.Foot, Math.Min(place.Start, to - 2));
        bool rests = foot < start;
        double best = Explained(foot, start);
        if (double.IsNaN(best)) best = double.NegativeInfinity;
        if (foot == from) Try(from + Math.Max(2, place.Block / 2), Math.Max(start, from + Math.Max(2, place.Block / 2)), ref foot, ref start, ref best);
        for (long step = Math.Max(1, place.Block / 2); step > 0; step /= 2)
        {
            bool moved = true;
            for (int round = 0; moved && round < 8; round++)
            {
                moved = TryEither(step, step, ref foot, ref start, ref best);
                if (!rests) continue;
                moved |= TryEither(0, step, ref foot, ref start, ref best);
                moved |= TryEither(step, 0, ref foot, ref start, ref best);
            }
        }

        return (place with { Foot = foot, Start = start }, best);
    }

    private bool TryEither(long footStep, long startStep, ref long foot, ref long start, ref double best) =>
        Try(foot + footStep, start + startStep, ref foot, ref start, ref best) || Try(foot - footStep, start - startStep, ref foot, ref start, ref best);

    private bool Try(long nextFoot, long nextStart, ref long foot, ref long start, ref double best)
    {
        if (nextFoot < from || nextStart < nextFoot || nextStart > to - 2) return false;
        double explained = Explained(nextFoot, nextStart);
        if (!(explained > best)) return false;
        (foot, start, best) = (nextFoot, nextStart, explained);
        return true;
    }

    private double Explained(long foot, long start)
    {
        double flyback = -expected.Against(start) * variance;
        ref readonly Place atFoot = ref PlaceAt(foot, _feet, begins: false), atStart = ref PlaceAt(start, _starts, begins: true);
        if (foot > from)
        {
            LinePart before = atFoot.Line;
            if (sign * before.Slope > 0) return double.NaN;
            flyback += before.Line - (StartSearch.ClearVariances * variance);
        }

        LinePart after = atStart.Line;
        bool rises = sign * after.Slope > 0;
        if (foot == start) return rises ? flyback + after.Line : double.NaN;
        flyback -= StartSearch.RestVariances * variance;
        LinePart rest = _sums.Of(atFoot.Sums, atStart.Sums);
        (double explained, _, double ramp) = _sums.Meeting(rest, after, level: true);
        double best = sign * ramp > 0 ? flyback + explained : double.NegativeInfinity;
        flyback -= StartSearch.ClearVariances * variance;
        if (start - foot >= 2)
        {
            (explained, double drift, ramp) = _sums.Meeting(rest, after, level: false);
            if (sign * ramp > 0 && sign * drift <= StartSearch.MostDrift * sign * ramp) best = Math.Max(best, flyback + explained);
        }

        return rises ? Math.Max(best, flyback + rest.Level + after.Line) : best;
    }

    private ref readonly Place PlaceAt(long scan, Span<Place> places, bool begins)
    {
        ref Place place = ref places[Slot(scan)];
        if (place.Sums.End == scan) return ref place;
        RunningSums sums = history.UpTo(scan);
        place = new Place(sums, begins ? _sums.Of(sums, _last) : _sums.Of(_first, sums));
        return ref place;
    }

    // Places lie any step apart.
    private static int Slot(long scan) => (int)((ulong)(scan * -0x61C8864680B583EB) >> (64 - KeptBits));

    /// <summary>A place: the ramp's sums up to there, and the line before it or after it.</summary>
    [StructLayout(LayoutKind.Auto)]
    public readonly record struct Place(RunningSums Sums, LinePart Line)
    {
        /// <summary>No place: there is no scan before the first.</summary>
        public static Place None => new(new RunningSums(-1, 0, 0), default);
    }
}
