namespace Acquire;

// Where each scan went.
public sealed partial class SweepEngine
{
    // Everything before _counted is counted, which is the first scan of the sweep under way or one past the last sweep. Of that, what lies
    // before _settled stands; the rest is taken back when a ramp is looked for anew and its scans are gone through again.
    private long _counted;
    private long _settled;
    private long _retraceSince;
    private long _restSince;
    private long _inColumns;
    private long _overscan;
    private long _retrace;
    private long _rest;
    private long _blanked;
    private long _unassigned;

    /// <summary>Where every scan went so far.</summary>
    /// <remarks>Changes with the engine; a scan in doubt is counted where it is filed now, the one that waits for the next as unassigned.</remarks>
    public Accounting Accounting
    {
        get
        {
            long retrace = _retrace, rest = _rest, unassigned = _unassigned, from = _counted;
            long inColumns = _inColumns, overscan = _overscan, blanked = _blanked;
            if (_follower.InSweep)
            {
                inColumns += _rebinner.Live.InColumns;
                overscan += _rebinner.Live.Overscan;
                blanked += _rebinner.Live.Blanked;
                rest += _rebinner.Live.Unfiled;
                unassigned += _history.End - _rebinner.End;
            }
            else if (_follower.Following && !_completed)
            {
                long doubt = _follower.Doubt.From;
                long known = doubt < 0 ? _history.End : doubt;
                long end = Math.Clamp(_follower.RetraceEnd, from, known);
                retrace += end - from;
                rest += known - end;
                unassigned += _history.End - known;
            }
            else
            {
                unassigned += _history.End - from;
            }

            return new Accounting
            {
                Scans = Given,
                InColumns = inColumns,
                Overscan = overscan,
                Retrace = retrace,
                Rest = rest,
                Blanked = blanked,
                Unassigned = unassigned + (Given - _history.End),
                Lost = _loss.Lost,
                Breaks = _breaks,
                InvalidCodes = _invalid,
            };
        }
    }

    private void CountOutside(long to, long retraceEnd)
    {
        long end = Math.Clamp(retraceEnd, _counted, Math.Max(_counted, to));
        long retrace = end - _counted, rest = Math.Max(0, to - end);
        _retrace += retrace;
        _retraceSince += retrace;
        _rest += rest;
        _restSince += rest;
        _counted = Math.Max(_counted, to);
    }

    private void Settle()
    {
        _settled = _counted;
        _retraceSince = _restSince = 0;
    }
}
