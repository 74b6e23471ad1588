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

    private readonly PlacedLine[] _lines;

    /// <param name="length">Scans of each, a power of two.</param>
    /// <param name="historyScans">Scans remembered, a power of two.</param>
    public PlacedRuns(int length, int historyScans)
    {
        _length = length;
        _shift = BitOperations.Log2((uint)length);
        _kinds = new PlacedBy[Math.Max(2, historyScans / length)];
        _lines = new PlacedLine[_kinds.Length];
    }

    /// <summary>How a scan was placed with those around it.</summary>
    public PlacedBy KindOf(long scan) => _kinds[SlotOf(scan)];

    /// <summary>Scans from one on that were placed with it.</summary>
    public int ScansFrom(long scan) => _length - (int)((scan + 1) & (_length - 1));

    /// <summary>Says that the scans around one were not placed together.</summary>
    public void SetSingle(long scan) => _kinds[SlotOf(scan)] = PlacedBy.Single;

    /// <summary>Says that the scans around one were placed by shorter lines.</summary>
    public void SetLines(long scan) => _kinds[SlotOf(scan)] = PlacedBy.Lines;

    /// <summary>Says how scans were placed, as many as are placed together.</summary>
    /// <param name="scan">The first, where as many begin.</param>
    /// <param name="kind">How.</param>
    /// <param name="value">Course at the first, in 2^-32 codes.</param>
    /// <param name="step">From one to the next, likewise.</param>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public void Set(long scan, PlacedBy kind, long value, long step)
    {
        int slot = SlotOf(scan);
        _kinds[slot] = kind;
        _lines[slot] = new PlacedLine(value, step);
    }

    /// <summary>Says how scans were placed.</summary>
    /// <param name="scan">The first, where as many begin.</param>
    /// <param name="times">How many times as many there are.</param>
    /// <param name="kind">How.</param>
    /// <param name="value">Course at the first, in 2^-32 codes.</param>
    /// <param name="step">From one to the next, likewise.</param>
    public void Set(long scan, int times, PlacedBy kind, long value, long step)
    {
        int first = SlotOf(scan);
        for (int slot = first; slot < first + times; slot++)
        {
            int at = slot & (_kinds.Length - 1);
            _kinds[at] = kind;
            _lines[at] = new PlacedLine(value, step);
            value += step * _length;
        }
    }

    /// <summary>The line on which scans were placed.</summary>
    /// <param name="scan">The first.</param>
    /// <param name="scans">How many, at most <see cref="ScansFrom"/>.</param>
    public CourseLine LineFrom(long scan, int scans)
    {
        PlacedLine line = _lines[SlotOf(scan)];
        return new CourseLine(scan, scan + scans, line.Value + (line.Step * ((scan + 1) & (_length - 1))), line.Step, 0, 0);
    }

    // A line's value at the first scan, and its step.
    private readonly record struct PlacedLine(long Value, long Step);

    private int SlotOf(long scan) => (int)((scan + 1) >> _shift) & (_kinds.Length - 1);
}
