using Acquire.Sweeps;
using Acquire.Traces;

namespace Acquire;

// While no ramp is known: every leg that may be a sweep is drawn like one, on the range that the axis has so far, and goes when a ramp is found.
public sealed partial class SweepEngine
{
    private LegUnderWay _leg = new(-1, 0, 0);
    private long _legs;
    private long _legDrawnFrom;
    private long _legDrawnTo;
    private bool _legDraws;
    private bool _legGoesOn;
    private int _legFirst = int.MaxValue;
    private int _legEnd;
    private int _legFront = -1;

    // The scan just taken is left for the next, which tells whether it is a spike.
    private void FollowLegs()
    {
        LegUnderWay leg = _follower.Leg;
        if (leg != _leg) TurnTo(leg);
        DrawLeg(_history.End - 1);
    }

    private void TurnTo(LegUnderWay leg)
    {
        LegUnderWay before = _leg;
        DrawLeg(Math.Min(leg.Start, _history.End - 1));
        if (before.Direction == 0 && leg.Direction != 0) WithdrawLeg();
        else EndLeg(leg.Start);

        // What was taken for a retrace was the sweep, and what was drawn were retraces.
        if (before.Start >= 0 && leg.Drawing != before.Drawing && leg.Drawing == before.Direction && !before.MayDraw)
        {
            ForgetLegs();
            if (leg.Start != before.Start)
            {
                BeginLeg(before with { Drawing = leg.Drawing }, before);
                DrawLeg(Math.Min(leg.Start, _history.End - 1));
                EndLeg(leg.Start);
            }
        }

        _leg = leg;
        if (leg.MayDraw) BeginLeg(leg, before);
    }

    private void BeginLeg(LegUnderWay leg, LegUnderWay before)
    {
        _leg = leg;
        _legDraws = true;
        _legDrawnFrom = Math.Max(leg.Start, _history.Oldest);
        bool learnsDirection = Setup.Sweep.Direction == RampDirection.Auto && _direction == RampDirection.Auto;
        if (learnsDirection && leg.Direction != 0 && _axes.Turn(startsAtLow: leg.Direction > 0)) StartAxis();

        if (leg.Direction == 0) _legGoesOn = leg.Start > 0 && _loss.PositionOf(leg.Start) > _loss.PositionOf(leg.Start - 1) + 1;
        else if (before.Direction != 0) _legGoesOn = false;
        StartLeg();
    }

    private void StartLeg()
    {
        _legDrawnTo = _legDrawnFrom;
        _live.Clear();
        bool down = _leg.Direction != 0 && _leg.Direction > 0 != _axes.Grid.StartsAtLowCode;
        bool goesOn = _legGoesOn && GoesOn(_history[_legDrawnFrom, _rampChannel], down);
        foreach (Trace trace in _traces) trace.BeginSweep(_sweeps + _legs, down, goesOn);
    }

    private void DrawLeg(long to)
    {
        if (!_legDraws) return;
        for (; _legDrawnTo < to; _legDrawnTo++)
        {
            int column = ColumnUnjudged(_legDrawnTo, _legDrawnFrom);
            if (column < 0 || !AddLive(_legDrawnTo, column)) continue;
            _legFirst = Math.Min(_legFirst, column);
            _legEnd = Math.Max(_legEnd, column + 1);
            _legFront = column;
        }
    }

    private void ShowLeg()
    {
        if (_legFront >= 0) ShowLive(_legFirst, _legEnd, _legFront);
        _legFirst = int.MaxValue;
        _legEnd = 0;
        _legFront = -1;
    }

    /// <param name="turn">Scan of the turning point, which was seen some scans later.</param>
    private void EndLeg(long turn)
    {
        if (!_legDraws) return;
        if (_legDrawnTo > turn + 1 && _legDrawnFrom >= _history.Oldest)
        {
            // What lies behind it is of the way back.
            WithdrawLeg();
            _legDraws = true;
            StartLeg();
            DrawLeg(turn + 1);
        }

        ShowLeg();
        foreach (Trace trace in _traces) trace.EndSweep(reachedEnd: false);
        _legDraws = false;
        _legs++;
    }

    // As long as nobody could say where it went it was drawn from the start; as a leg it begins at its turning point.
    private void WithdrawLeg()
    {
        if (!_legDraws) return;
        _legDraws = false;
        _legFront = -1;
        ShowLeg();
        foreach (Trace trace in _traces) trace.CancelSweep();
    }

    private void ForgetLegs()
    {
        if (_legs > 0 || _legDraws)
            foreach (Trace trace in _traces) trace.ForgetFrom(_sweeps);
        _legDraws = false;
        _legFront = -1;
        ShowLeg();
        _legs = 0;
        _leg = new(-1, 0, 0);
        _live.Clear();
    }
}
