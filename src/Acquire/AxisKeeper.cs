using Acquire.Columns;
using Acquire.Sweeps;

namespace Acquire;

/// <summary>Keeps the axis: given edges as they are, learnt ones provisional, then frozen, then moved only for a reason.</summary>
internal sealed class AxisKeeper
{
    private readonly Setup _setup;
    private readonly int _full;
    private readonly int _columns;
    private readonly ColumnGrid _rising;
    private readonly ColumnGrid _falling;
    private readonly AxisWatch _watch = new();
    private (long Low, long High)? _frozen;

    public AxisKeeper(Setup setup, int fullCode)
    {
        _setup = setup;
        _full = fullCode;
        _columns = setup.Columns.ColumnCount;
        // Turned by hand and without edges the converter's range is the screen.
        bool swept = setup.Sweep.Mode == SweepMode.Swept;
        Learns = setup.Sweep.Edges is null && swept;
        _rising = Build(startsAtLow: true);
        _falling = Build(startsAtLow: false);
        Fine = Learns ? ColumnGrid.FromFineCodes(Rebinner.FineCells, fullCode, 0, (long)(fullCode + 1) << 16, true) : null;
        bool falling = setup.Sweep.Direction == RampDirection.Falling && swept;
        Grid = falling ? _falling : _rising;
        Current = Describe(0, provisional: Learns);
        if (setup.Sweep.Edges is not null) GivenCodes = (Current.LowCode, Current.HighCode);
    }

    /// <summary>Edges are learnt.</summary>
    public bool Learns { get; }

    /// <summary>Given edges in codes, or null.</summary>
    public (double Low, double High)? GivenCodes { get; }

    /// <summary>Cells of the converter's range, or null: edges are given.</summary>
    public ColumnGrid? Fine { get; }

    public ColumnGrid Grid { get; private set; }

    public ColumnAxis Current { get; private set; }

    /// <summary>How often frozen edges have moved by more than half a column, be it that the ramp left them or that it was learnt anew elsewhere.</summary>
    public int Moves { get; private set; }

    /// <summary>Columns within which a hand-turned ramp that stands still may wander.</summary>
    public int NearColumns => Math.Max(1, (int)Math.Ceiling(6.0 * _columns / Math.Max(1, Current.HighCode - Current.LowCode)));

    /// <summary>A ramp was found.</summary>
    /// <returns>Whether there is a new axis.</returns>
    public bool Lock(in RampLock found, bool provisional)
    {
        bool low = found.Direction != RampDirection.Falling;
        _watch.Reset();
        if (!Learns) return Turn(low);
        if (provisional)
        {
            Grid = low ? _rising : _falling;
            Grid.MoveTo(0, (long)_full << 16, low);
            Current = Describe(Current.Number + 1, provisional: true);
            return true;
        }

        return Move(found.LowCode, found.HighCode, low);
    }

    /// <summary>Only which way the beam draws has become known.</summary>
    /// <returns>Whether there is a new axis.</returns>
    public bool Turn(bool startsAtLow)
    {
        if (Grid.StartsAtLowCode == startsAtLow) return false;
        Grid = startsAtLow ? _rising : _falling;
        Current = Describe(Current.Number + 1, Current.Provisional);
        return true;
    }

    /// <summary>Puts learnt edges somewhere.</summary>
    /// <returns>Whether that is another axis: edges that agree within a quarter column are the same.</returns>
    public bool Move(double low, double high, bool startsAtLow)
    {
        long lowFine = (long)Math.Round(low * ColumnGrid.FinePerCode), highFine = (long)Math.Round(high * ColumnGrid.FinePerCode);
        highFine = Math.Max(highFine, lowFine + 1);
        if (!Current.Provisional && Grid.AgreesWith(lowFine, highFine, startsAtLow)) return false;
        Grid = startsAtLow ? _rising : _falling;
        Grid.MoveTo(lowFine, highFine, startsAtLow);
        Current = Describe(Current.Number + 1, provisional: false);
        if (_frozen is { } before && 2 * _columns * Math.Max(Math.Abs(lowFine - before.Low), Math.Abs(highFine - before.High)) > before.High - before.Low) Moves++;
        _frozen = (lowFine, highFine);
        _watch.Reset();
        return true;
    }

    /// <summary>A whole sweep has ended.</summary>
    /// <returns>Whether the edges have to move; then they have moved.</returns>
    public bool Watch(in TrackedSweep sweep, double noise)
    {
        if (!Learns || Current.Provisional) return false;
        double half = sweep.SlopeCodes / 2, sign = sweep.Rising ? half : -half;
        double a = sweep.StartCode - sign, b = sweep.EndCode + sign;
        double doubt = sweep.SlopeCodes + (noise / 2);
        if (!_watch.Take(Math.Min(a, b), Math.Max(a, b), Current.LowCode, Current.HighCode, _columns, doubt)) return false;
        (double low, double high) = _watch.Edges;
        return Move(low, high, Grid.StartsAtLowCode);
    }

    private ColumnGrid Build(bool startsAtLow)
    {
        if (_setup.Sweep.Edges is not { } edges)
            return ColumnGrid.FromFineCodes(_columns, _full, 0, (long)_full << 16, startsAtLow);
        return _setup.RampVolts is { } volts
            ? ColumnGrid.FromVolts(_columns, _full, volts, edges, startsAtLow)
            : ColumnGrid.FromCodes(_columns, _full, edges, startsAtLow);
    }

    private ColumnAxis Describe(int number, bool provisional) => new(
        number, _columns, (double)Grid.LowEdgeFine / ColumnGrid.FinePerCode, (double)Grid.HighEdgeFine / ColumnGrid.FinePerCode,
        !Grid.StartsAtLowCode, Learns, provisional);
}
