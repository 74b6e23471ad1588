namespace Acquire.Sweeps;

/// <summary>The leg of a ramp that nobody knows yet.</summary>
/// <param name="Start">Its first scan: the turning point before it, or the first scan after a gap as long as nobody can say where it goes.</param>
/// <param name="Direction">1 up, -1 down, 0 not known.</param>
/// <param name="Drawing">Direction of the legs that draw, as far as can be told from those before: 1 up, -1 down, 0 each or not known.</param>
internal readonly record struct LegUnderWay(long Start, int Direction, int Drawing)
{
    /// <summary>Whether it may be a sweep.</summary>
    public bool MayDraw => Direction == 0 || Drawing == 0 || Direction == Drawing;
}
