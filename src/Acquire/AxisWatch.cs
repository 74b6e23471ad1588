namespace Acquire;

/// <summary>Watches whether whole sweeps still run from edge to edge of a learnt axis.</summary>
/// <remarks>Edges move only when three sweeps in a row leave them by more than half a column.</remarks>
internal sealed class AxisWatch
{
    private const int SweepsNeeded = 3;
    private int _away;
    private double _lowSum;
    private double _highSum;

    public void Reset()
    {
        _away = 0;
        _lowSum = _highSum = 0;
    }

    /// <summary>Takes the ends of a whole sweep, in codes.</summary>
    /// <param name="low">Its lower end.</param>
    /// <param name="high">Its upper end.</param>
    /// <param name="edgeLow">Lower edge of the axis.</param>
    /// <param name="edgeHigh">Upper edge of the axis.</param>
    /// <param name="columns">Columns of the axis.</param>
    /// <param name="doubt">Codes by which an end is not known: half a scan's step and the noise left in it.</param>
    /// <returns>Whether the edges have moved; then <see cref="Edges"/> says where.</returns>
    public bool Take(double low, double high, double edgeLow, double edgeHigh, int columns, double doubt)
    {
        double limit = ((edgeHigh - edgeLow) / columns / 2) + doubt;
        if (Math.Abs(low - edgeLow) <= limit && Math.Abs(high - edgeHigh) <= limit)
        {
            Reset();
            return false;
        }

        _away++;
        _lowSum += low;
        _highSum += high;
        return _away >= SweepsNeeded;
    }

    /// <summary>Mean ends of the sweeps that left the edges.</summary>
    public (double Low, double High) Edges => (_lowSum / _away, _highSum / _away);
}
