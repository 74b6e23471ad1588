using Acquire.Sweeps;

namespace Acquire.Sources.Synthetic;

/// <summary>Cuts the instrument's sweeps into the pieces that were delivered and counts every scan in one class.</summary>
internal sealed class TruthKeeper
{
    private readonly SyntheticTruth _truth;
    private readonly bool _keep;
    private readonly RampKind _kind;

    private bool _inSweep;
    private long _instrumentSweep, _startScan, _startPosition, _lastPosition, _blankedScans;
    private bool _fromStart, _toEnd, _aborted, _forward;
    private double _startFraction, _lastFraction;
    private long _startRail, _endRail;
    private readonly double _lowRail, _highRail;
    private SweepStart _startReason, _nextStart = SweepStart.Begin;

    public TruthKeeper(SyntheticTruth truth)
    {
        _truth = truth;
        _keep = truth.Options.KeepTruth;
        _kind = truth.Options.Ramp.Kind;
        _lowRail = truth.Options.Converter.ClampLow * truth.Options.Format.FullCode;
        _highRail = truth.Options.Converter.ClampHigh * truth.Options.Format.FullCode;
    }

    /// <summary>Counts a scan and gives the number of the sweep that it belongs to, or -1.</summary>
    public long Count(ScanPhase phase, SweepCourse course, double fraction, long position, bool beamOff)
    {
        bool isSweep = phase is ScanPhase.Sweep or ScanPhase.Blanked;
        if (_inSweep && (!isSweep || course.Sweep != _instrumentSweep)) Close(_aborted ? SweepEnd.Abort : SweepEnd.Retrace);
        if (isSweep) CountInSweep(phase, course, fraction, position);
        CountInClass(phase, fraction);
        if (beamOff) _truth.BeamOff++;
        _nextStart = SweepStart.Ramp;
        _truth.Scans++;
        return isSweep ? _truth.SweepCount : -1;
    }

    /// <summary>Notes the line's level at the scan just counted.</summary>
    public void NoteLine(double lineCodes)
    {
        if (!_inSweep) return;
        if (lineCodes > _lowRail && lineCodes < _highRail) _endRail = 0;
        else
        {
            if (_startRail == _lastPosition - _startPosition) _startRail++;
            _endRail++;
        }
    }

    public void Gap(long position, long scans)
    {
        if (_inSweep) Close(SweepEnd.Gap);
        if (_truth.Scans > 0 && _nextStart != SweepStart.Break) _nextStart = SweepStart.Gap;
        _truth.Lost += scans;
        _truth.GapCount++;
        if (_keep) _truth.GapList.Add(new TrueGap(_truth.Scans, position, scans));
    }

    public void Break(long position, long scans)
    {
        if (_inSweep) Close(SweepEnd.Break);
        if (_truth.Scans > 0) _nextStart = SweepStart.Break;
        _truth.BreakCount++;
        if (_keep) _truth.BreakList.Add(new TrueGap(_truth.Scans, position, scans));
    }

    public void End()
    {
        if (_inSweep) Close(SweepEnd.End);
        _truth.Ended = true;
    }

    private void CountInSweep(ScanPhase phase, SweepCourse course, double fraction, long position)
    {
        if (!_inSweep)
        {
            _inSweep = true;
            _instrumentSweep = course.Sweep;
            _startScan = _truth.Scans;
            _startPosition = position;
            _startFraction = fraction;
            _startReason = _nextStart;
            _fromStart = course.IsFirstScanOfPart;
            _aborted = course.Aborted;
            _forward = course.Forward;
            _blankedScans = 0;
            _startRail = 0;
            _endRail = 0;
        }

        if (phase == ScanPhase.Blanked) _blankedScans++;
        _lastPosition = position;
        _lastFraction = fraction;
        _toEnd = course.IsLastScanOfPart;
    }

    private void CountInClass(ScanPhase phase, double fraction)
    {
        switch (phase)
        {
            case ScanPhase.Sweep or ScanPhase.Manual:
                if (fraction is >= 0 and <= 1) _truth.InColumns++;
                else _truth.Overscan++;
                break;
            case ScanPhase.Retrace:
                _truth.Retrace++;
                break;
            case ScanPhase.Rest:
                _truth.Rest++;
                break;
            case ScanPhase.Blanked:
                _truth.Blanked++;
                break;
            default:
                _truth.Unassigned++;
                break;
        }
    }

    private void Close(SweepEnd reason)
    {
        _inSweep = false;
        long number = _truth.SweepCount++;
        if (!_keep) return;
        _truth.SweepList.Add(new TrueSweep
        {
            Number = number,
            InstrumentSweep = _instrumentSweep,
            StartScan = _startScan,
            EndScan = _startScan + (_lastPosition - _startPosition) + 1,
            StartPosition = _startPosition,
            EndPosition = _lastPosition + 1,
            Complete = _fromStart && _toEnd && !_aborted,
            StartReason = _startReason,
            EndReason = reason,
            Direction = _forward == (_kind != RampKind.Falling) ? RampDirection.Rising : RampDirection.Falling,
            StartFraction = _startFraction,
            EndFraction = _lastFraction,
            StartRailScans = _startRail,
            EndRailScans = _endRail,
            BlankedScans = _blankedScans,
        });
    }
}
