using System.Numerics;
using System.Runtime.InteropServices;
using Acquire.Columns;
using Acquire.Sweeps;

namespace Acquire.Traces;

/// <summary>Which sweeps and columns enter trace work.</summary>
internal sealed class SweepGate(int columnCount, bool countAborted)
{
    private bool _any;
    private int _section;

    /// <summary>Axis of what was taken; -1 before the first.</summary>
    public int AxisNumber { get; private set; } = -1;

    /// <summary>Throws when a sweep does not fit what is kept.</summary>
    public void CheckShape(ColumnStatistics columns, ReadOnlySpan<ColumnMarks> marks)
    {
        ArgumentNullException.ThrowIfNull(columns);
        if (columns.ColumnCount != columnCount || (!marks.IsEmpty && marks.Length != columnCount))
        {
            throw new ArgumentException(
                $"The sweep has {columns.ColumnCount} columns and {marks.Length} marks but {columnCount} columns are kept; give one of each per column, or no marks.");
        }
    }

    /// <summary>Whether a sweep lies on the axis and in the section of what was taken.</summary>
    public bool GoesOn(in SweepInfo info) => _any && info.AxisNumber == AxisNumber && info.Section == _section;

    /// <summary>Decides about a sweep.</summary>
    /// <returns>Taken and StartedAnew let it in.</returns>
    public SweepTaking Decide(in SweepInfo info, ReadOnlySpan<ColumnMarks> marks)
    {
        if (info.EndReason == SweepEnd.Abort && !countAborted) return SweepTaking.Aborted;
        if (info.SuspectScans > 0 && marks.IsEmpty) return SweepTaking.Suspect;
        bool anew = _any && !GoesOn(info);
        _any = true;
        AxisNumber = info.AxisNumber;
        _section = info.Section;
        return anew ? SweepTaking.StartedAnew : SweepTaking.Taken;
    }

    /// <summary>Whether a column of such a sweep may enter, apart from being filled.</summary>
    public static bool Enters(ReadOnlySpan<ColumnMarks> marks, int column) =>
        marks.IsEmpty || (marks[column] & ColumnMarks.Suspect) == ColumnMarks.None;

    /// <summary>Whether any column of such a sweep may not enter.</summary>
    public static bool AnyKeptOut(ReadOnlySpan<ColumnMarks> marks)
    {
        ReadOnlySpan<int> bits = MemoryMarshal.Cast<ColumnMarks, int>(marks);
        Vector<int> any = Vector<int>.Zero;
        int i = 0;
        for (; i <= bits.Length - Vector<int>.Count; i += Vector<int>.Count) any |= new Vector<int>(bits[i..]);
        int suspect = (int)ColumnMarks.Suspect;
        if (Vector.EqualsAny(any & new Vector<int>(suspect), new Vector<int>(suspect))) return true;
        for (; i < bits.Length; i++)
            if ((bits[i] & suspect) != 0) return true;
        return false;
    }

    /// <summary>Makes NaN the values of columns that may not enter.</summary>
    public static void KeepOut(ReadOnlySpan<ColumnMarks> marks, Span<double> values)
    {
        if (!AnyKeptOut(marks)) return;
        for (int c = 0; c < values.Length; c++)
            if (!Enters(marks, c)) values[c] = double.NaN;
    }

    public void Forget()
    {
        _any = false;
        AxisNumber = -1;
    }
}
