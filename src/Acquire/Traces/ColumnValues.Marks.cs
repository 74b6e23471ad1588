using System.Numerics;
using System.Runtime.InteropServices;
using Acquire.Columns;

namespace Acquire.Traces;

/// <content>What is to be known of the readings: rails beside the marks of the columns.</content>
public sealed partial class ColumnValues
{
    /// <summary>Whether a column's reading lies at a rail: code 0 or the full code.</summary>
    /// <param name="columns">Columns of this vertical.</param>
    /// <param name="column">0 to ColumnCount - 1; an unfilled one is at no rail.</param>
    /// <param name="detector">Peak, minimum and sample: their own code. Average and RMS: any scan of the column, since one moves the mean.</param>
    /// <exception cref="ArgumentOutOfRangeException">There is no such column.</exception>
    public bool IsAtRail(ColumnStatistics columns, int column, Detector detector)
    {
        ArgumentNullException.ThrowIfNull(columns);
        if ((uint)column >= (uint)columns.ColumnCount)
            throw new ArgumentOutOfRangeException(nameof(column), column, $"Column {column} was asked for but there are {columns.ColumnCount}; ask for 0 to {columns.ColumnCount - 1}.");
        if (columns.Counts[column] == 0) return false;
        if (detector is Detector.Average or Detector.Rms)
            return columns.LowestCodes[column] == 0 || columns.HighestCodes[column] == _converter.FullCode;
        int code = SingleCodes(columns, detector)[column];
        return code == 0 || code == _converter.FullCode;
    }

    /// <summary>Copies the marks of columns and adds <see cref="ColumnMarks.AtRail"/> where a reading lies at a rail.</summary>
    /// <param name="columns">Columns of this vertical.</param>
    /// <param name="detector">Detector whose readings are meant.</param>
    /// <param name="marks">Marks of the columns, one per column; empty for none.</param>
    /// <param name="result">Gets one mark per column; at least as long as there are columns. May be <paramref name="marks"/>' memory.</param>
    /// <exception cref="ArgumentException">A span does not fit the number of columns; nothing was written.</exception>
    public void ReadMarks(ColumnStatistics columns, Detector detector, ReadOnlySpan<ColumnMarks> marks, Span<ColumnMarks> result)
    {
        ArgumentNullException.ThrowIfNull(columns);
        if ((!marks.IsEmpty && marks.Length != columns.ColumnCount) || result.Length < columns.ColumnCount)
            throw new ArgumentException($"There are {marks.Length} marks and room for {result.Length} results but {columns.ColumnCount} columns; give one of each per column, or no marks.");
        for (int c = 0; c < columns.ColumnCount; c++)
        {
            ColumnMarks mark = marks.IsEmpty ? ColumnMarks.None : marks[c];
            result[c] = IsAtRail(columns, c, detector) ? mark | ColumnMarks.AtRail : mark;
        }
    }

    /// <summary>Adds the marks of every filled column that may enter trace work to those kept of it, and <see cref="ColumnMarks.AtRail"/> as <see cref="IsAtRail"/> has it.</summary>
    internal void CollectMarks(ColumnStatistics columns, Detector detector, ReadOnlySpan<ColumnMarks> marks, Span<ColumnMarks> kept)
    {
        ReadOnlySpan<ushort> low = columns.LowestCodes, high = columns.HighestCodes;
        if (detector is not (Detector.Average or Detector.Rms)) low = high = SingleCodes(columns, detector);
        Vector<ushort> full = new((ushort)_converter.FullCode);
        int c = 0;
        for (; c <= kept.Length - Vector<ushort>.Count; c += Vector<ushort>.Count)
        {
            // Most columns have nothing to be known of them, and so have those beside them.
            bool rails = Vector.EqualsAny(new Vector<ushort>(low[c..]), Vector<ushort>.Zero) || Vector.EqualsAny(new Vector<ushort>(high[c..]), full);
            if (rails || Any(marks, c)) CollectMarks(columns.Counts, low, high, marks, kept, c, c + Vector<ushort>.Count);
        }

        CollectMarks(columns.Counts, low, high, marks, kept, c, kept.Length);
    }

    private static bool Any(ReadOnlySpan<ColumnMarks> marks, int first)
    {
        if (marks.IsEmpty) return false;
        ReadOnlySpan<int> bits = MemoryMarshal.Cast<ColumnMarks, int>(marks)[first..];
        return (new Vector<int>(bits) | new Vector<int>(bits[Vector<int>.Count..])) != Vector<int>.Zero;
    }

    private void CollectMarks(
        ReadOnlySpan<long> counts, ReadOnlySpan<ushort> low, ReadOnlySpan<ushort> high, ReadOnlySpan<ColumnMarks> marks, Span<ColumnMarks> kept, int first, int end)
    {
        for (int c = first; c < end; c++)
        {
            if (counts[c] == 0 || !SweepGate.Enters(marks, c)) continue;
            if (!marks.IsEmpty) kept[c] |= marks[c];
            if (low[c] == 0 || high[c] == _converter.FullCode) kept[c] |= ColumnMarks.AtRail;
        }
    }
}
