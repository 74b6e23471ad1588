using System.Numerics;
using System.Runtime.CompilerServices;
using Acquire.Sweeps;

namespace Acquire.Columns;

/// <summary>How scans were placed, so many side by side at a time; as many as the history holds.</summary>
/// <remarks>They begin at scans whose index plus one is a multiple of their length.</remarks>
internal sealed class PlacedRuns
{
    private readonly int _length;
    private readonly int _shift;
    private readonly PlacedBy[] _kinds;

    // Of each the line's value at its first scan, and its step.
    private readonly long[] _lines;

    /// <param name="length">Scans of each, a power of two.</param>
    /// <param name="historyScans">Scans remembered, a power of two.</param>
    public PlacedRuns(int length, int historyScans)
    {
        _length = length;
        _shift = BitOperations.Log2((uint)length);
        _kinds = new PlacedBy[Math.Max(2, historyScans / length)];
        _lines = new long[2 * _kinds.Length];
    }

    /// <summary>How a scan was placed with those around it.</summary>
    public PlacedBy KindOf(long scan) => _kinds[SlotOf(scan)];

    /// <summary>Scans from one on that were placed with it.</summary>
    public int ScansFrom(long scan) => _length - (int)((scan + 1) & (_length - 1));

    /// <summary>Says that the scans around one were not placed together.</summary>
    public void SetSingle(long scan) => _kinds[SlotOf(scan)] = PlacedBy.Single;

    /// <summary>Says how scans were placed.</summary>
    /// <param name="scan">The first.</param>
    /// <param name="kind">How.</param>
    /// <param name="value">Course at the first, in 2^-32 codes.</param>
    /// <param name="step">From one to the next, likewise.</param>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public void Set(long scan, PlacedBy kind, long value, long step)
    {
        int slot = SlotOf(scan);
        _kinds[slot] = kind;
        _lines[2 * slot] = value;
        _lines[(2 * slot) + 1] = step;
    }

    /// <summary>The line on which scans were placed.</summary>
    /// <param name="scan">The first.</param>
    /// <param name="scans">How many, at most <see cref="ScansFrom"/>.</param>
    public CourseLine LineFrom(long scan, int scans)
    {
        int slot = SlotOf(scan);
        long step = _lines[(2 * slot) + 1];
        return new CourseLine(scan, scan + scans, _lines[2 * slot] + (step * ((scan + 1) & (_length - 1))), step, 0, 0);
    }

    private int SlotOf(long scan) => (int)((scan + 1) >> _shift) & (_kinds.Length - 1);
}
