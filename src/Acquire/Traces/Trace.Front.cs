using Acquire.Columns;

namespace Acquire.Traces;

/// <content>The front on its way, and what it leaves behind.</content>
public sealed partial class Trace
{
    // Columns, counted from where the pass began, that the front has left behind.
    private int _passed;

    /// <summary>Moves the front without passing columns: a ramp turned by hand.</summary>
    internal void SetFront(int column)
    {
        if (column == Front) return;
        Front = column;
        _changes.MarkState();
    }

    /// <summary>Moves the front on; columns that it leaves behind without scans of this pass are kept or cleared.</summary>
    /// <param name="column">Column reached. Columns that were published before are safe whatever the order of calls.</param>
    internal void AdvanceFront(int column)
    {
        int passed = PlaceOf(column);
        if (passed > _passed)
        {
            if (FrontMovesDown) LeaveOlder(PlaceOf(passed) + 1, PlaceOf(_passed) + 1);
            else LeaveOlder(_passed, passed);
            _passed = passed;
        }

        SetFront(column);
    }

    /// <summary>Takes the front back after scans of the sweep under way were withdrawn: columns that it has not passed are as they were before.</summary>
    /// <param name="furthest">The furthest column that the sweep holds now; -1 for none.</param>
    internal void DrawBack(int furthest)
    {
        if (!_before!.IsOpen) return;
        // What the pass had left before this sweep, in a piece before a gap, stays left.
        int passedBefore = SweepNumber == _passFirstSweep ? 0 : _before.Before.Passed;
        int reached = furthest < 0 ? -1 : PlaceOf(furthest);
        int end = _passed;
        _passed = Math.Min(_passed, Math.Max(passedBefore, reached));
        for (int place = Math.Max(passedBefore, reached + 1); place < end; place++) RestoreColumn(PlaceOf(place));
    }

    /// <summary>How many columns the beam meets before this one; the same way round, the column that it meets after so many.</summary>
    private int PlaceOf(int column) => FrontMovesDown ? ColumnCount - 1 - column : column;

    // Most columns hold scans of this pass and stay as they are.
    private void LeaveOlder(int first, int end)
    {
        if (_passFirstSweep == 0) return;
        while (_columns.SweepNumbers.AsSpan(first, end - first).IndexOfAnyInRange(0, _passFirstSweep - 1) is var older and >= 0)
        {
            Leave(first + older);
            first += older + 1;
        }
    }

    private void Leave(int column)
    {
        if (!_columns.IsFilled(column) || _columns.SweepNumbers[column] >= _passFirstSweep) return;
        if (SweepNumber - _columns.SweepNumbers[column] > _fillOverSweeps)
        {
            ClearColumn(column);
            return;
        }

        if ((_columns.Marks[column] & ColumnMarks.Kept) != ColumnMarks.None) return;
        Touch(column);
        _columns.Marks[column] |= ColumnMarks.Kept;
    }
}
