using System.Diagnostics;
using Acquire.Columns;
using Acquire.Scales;

namespace Acquire.Traces;

/// <summary>One vertical's trace as it stands: fresh columns up to the front, those of sweeps before beyond it.</summary>
/// <remarks>
/// All spans have <see cref="ColumnCount"/> entries, column 0 first, and show memory owned by this object: valid as long as it lives.
/// The engine's trace is changed by the engine's next call and belongs to the engine's thread; a trace inside a
/// <see cref="TraceSnapshot"/> is changed by that snapshot's next read and belongs to its reader.
/// </remarks>
public sealed partial class Trace
{
    /// <summary>Most columns that <see cref="PublishColumns"/> leaves out.</summary>
    internal const int MostGaps = 32;

    // One pass is one way of the beam across the screen. The columns that it has covered are of its own sweeps: a gap ends a sweep,
    // not a pass, so a pass may hold more than one.
    //
    // T1  A column that the front has left in this pass is of this pass, kept from one before (mark Kept), or unfilled.
    // T2  An unfilled column has sweep number -1, age -1 and no marks.
    // T3  What the sweep under way changed is saved as it was before: withdrawn scans leave nothing behind.
    private readonly TraceColumns _columns;
    private readonly ChangeLog _changes;
    private readonly int _fillOverSweeps;
    private readonly TraceBefore? _before;
    private readonly TraceColumns? _kept;
    private long _passFirstSweep;

    /// <summary>Allocates a trace, all unfilled.</summary>
    /// <param name="columnCount">Columns, at least 1.</param>
    /// <param name="domains">Averaging domains whose sums are kept.</param>
    /// <param name="fillOverSweeps">Sweeps over which a column without new scans keeps its last value; 0 keeps none.</param>
    /// <param name="reader">Only ever a copy of another trace; spares the memory that a writer needs.</param>
    internal Trace(int columnCount, IReadOnlyCollection<AveragingDomain> domains, int fillOverSweeps = 0, bool reader = false)
    {
        ArgumentOutOfRangeException.ThrowIfNegative(fillOverSweeps);
        _columns = new TraceColumns(columnCount, domains);
        _changes = new ChangeLog(columnCount);
        _before = reader ? null : new TraceBefore(columnCount, domains);
        _kept = reader ? null : new TraceColumns(MostGaps, domains);
        _fillOverSweeps = fillOverSweeps;
        Domains = [.. domains];
    }

    /// <summary>Columns.</summary>
    public int ColumnCount => _columns.Statistics.ColumnCount;

    /// <summary>What is kept of the scans of each column. Read values with <see cref="ColumnValues"/>.</summary>
    public ColumnStatistics Columns => _columns.Statistics;

    /// <summary>Number of the sweep that each column's scans belong to; -1 where unfilled.</summary>
    public ReadOnlySpan<long> SweepNumbers => _columns.SweepNumbers;

    /// <summary>Position in the stream of each column's last scan, lost scans counted; -1 where unfilled. The lower, the older.</summary>
    /// <remarks>
    /// A place, not a span of time, since the engine has no clock: a column's value is as many scans old as the stream's position now
    /// (<see cref="TraceSnapshot.EndPosition"/>, or scans taken and lost of <see cref="SweepEngine.Accounting"/>) lies behind it, and as many seconds as those take at the scan rate.
    /// </remarks>
    public ReadOnlySpan<long> Ages => _columns.Ages;

    /// <summary>What is to be known of each column beside its values.</summary>
    public ReadOnlySpan<ColumnMarks> Marks => _columns.Marks;

    /// <summary>The <see cref="Version"/> in which each column last changed; 0 is never.</summary>
    public ReadOnlySpan<long> ColumnVersions => _changes.ColumnVersions;

    /// <summary>Rises by 1 with each publish that changed anything; 0 before the first.</summary>
    public long Version => _changes.Version;

    /// <summary>Column that the sweep under way has reached; -1 where none is under way.</summary>
    /// <remarks>After a sweep that did not reach its end it stays where that sweep ended, until the next begins.</remarks>
    public int Front { get; private set; } = -1;

    /// <summary>The front moves from high to low columns: the way back of an instrument that draws both ways.</summary>
    public bool FrontMovesDown { get; private set; }

    /// <summary>Number that the sweep under way will have; -1 where none is under way.</summary>
    /// <remarks>While no ramp is known: the number that the leg under way would have, if it and those before it are sweeps.</remarks>
    public long SweepNumber { get; private set; } = -1;

    /// <summary>Number of the axis that the columns lie on.</summary>
    public int AxisNumber { get; private set; }

    internal IReadOnlyCollection<AveragingDomain> Domains { get; }

    /// <summary>Finds the columns that changed after a version that a reader has seen.</summary>
    /// <param name="sinceVersion">The <see cref="Version"/> that the reader saw last; 0 for everything.</param>
    /// <param name="firstColumn">First column that may have changed.</param>
    /// <param name="endColumn">One past the last. Within the range, <see cref="ColumnVersions"/> tells which did.</param>
    /// <returns>False when no column changed; the front may still have moved.</returns>
    public bool TryGetChanges(long sinceVersion, out int firstColumn, out int endColumn) =>
        _changes.TryGetChanges(sinceVersion, out firstColumn, out endColumn, out _);

    /// <summary>Starts a new axis: every column becomes unfilled.</summary>
    internal void StartAxis(int axisNumber)
    {
        _before?.Close();
        _columns.Clear();
        _changes.MarkAll();
        AxisNumber = axisNumber;
        Front = -1;
        SweepNumber = -1;
        _passed = 0;
    }

    /// <summary>Begins a sweep.</summary>
    /// <param name="sweepNumber">Number that it will have when it has ended.</param>
    /// <param name="movesDown">The front starts at the last column.</param>
    /// <param name="samePass">It goes on with the pass of the sweep before, after a gap that the beam crossed on its way.</param>
    internal void BeginSweep(long sweepNumber, bool movesDown = false, bool samePass = false)
    {
        _changes.MarkState();
        _before?.Open(new(Front, FrontMovesDown, _passFirstSweep, _passed));
        SweepNumber = sweepNumber;
        if (samePass) return;
        FrontMovesDown = movesDown;
        Front = -1;
        _passFirstSweep = sweepNumber;
        _passed = 0;
    }

    /// <summary>Replaces a column by one of the sweep under way.</summary>
    /// <param name="column">Column here.</param>
    /// <param name="source">Columns of the sweep, with the same domains.</param>
    /// <param name="sourceColumn">Column there; an unfilled one clears the column.</param>
    /// <param name="sweepNumber">Number of the sweep.</param>
    /// <param name="lastPosition">Position of the column's last scan.</param>
    /// <param name="marks">What is to be known of it.</param>
    internal void PublishColumn(
        int column, ColumnStatistics source, int sourceColumn, long sweepNumber, long lastPosition, ColumnMarks marks = ColumnMarks.None)
    {
        if (source.Counts[sourceColumn] == 0)
        {
            ClearColumn(column);
            return;
        }

        Touch(column);
        _columns.Statistics.CopyColumn(column, source, sourceColumn);
        _columns.SweepNumbers[column] = sweepNumber;
        _columns.Ages[column] = lastPosition;
        _columns.Marks[column] = marks;
    }

    /// <summary>Replaces columns [first, end) by those of the sweep under way, all of them filled but for gaps, in the same places.</summary>
    /// <param name="first">First column.</param>
    /// <param name="end">One past the last.</param>
    /// <param name="gaps">Columns between them that stay as they are, at most <see cref="MostGaps"/>: few, so that the others are copied side by side.</param>
    /// <param name="source">Columns of the sweep, with the same domains.</param>
    /// <param name="sweepNumber">Number of the sweep.</param>
    /// <param name="lastPositions">Position of each column's last scan, by column.</param>
    /// <param name="marks">What is to be known of each, by column.</param>
    /// <param name="more">Marks that all get.</param>
    internal void PublishColumns(
        int first, int end, ReadOnlySpan<int> gaps, ColumnStatistics source, long sweepNumber, ReadOnlySpan<long> lastPositions, ReadOnlySpan<ColumnMarks> marks, ColumnMarks more)
    {
        _before!.SaveRange(first, end, _columns, gaps);
        _changes.MarkRange(first, end, gaps);
        for (int i = 0; i < gaps.Length; i++) _kept!.Copy(i, _columns, gaps[i]);
        _columns.Statistics.CopyRange(first, end, source);
        _columns.SweepNumbers.AsSpan(first, end - first).Fill(sweepNumber);
        lastPositions[first..end].CopyTo(_columns.Ages.AsSpan(first));
        marks[first..end].CopyTo(_columns.Marks.AsSpan(first));
        if (more != ColumnMarks.None)
            foreach (ref ColumnMarks mark in _columns.Marks.AsSpan(first, end - first)) mark |= more;
        for (int i = 0; i < gaps.Length; i++) _columns.Copy(gaps[i], _kept!, i);
    }

    /// <summary>Makes columns [first, end) as if the sweep under way had no scans in them.</summary>
    internal void RestoreColumns(int first, int end)
    {
        for (int c = first; c < end; c++) RestoreColumn(c);
    }

    /// <summary>Makes a column unfilled.</summary>
    internal void ClearColumn(int column)
    {
        if (!_columns.IsFilled(column)) return;
        Touch(column);
        _columns.Clear(column);
    }

    /// <summary>Makes a column as if the sweep under way had no scans in it.</summary>
    internal void RestoreColumn(int column)
    {
        if (!_before!.IsOpen || !_before.IsSaved(column)) return;
        _columns.Copy(column, _before.Columns, column);
        _changes.Mark(column);
        if (PlaceOf(column) < _passed) Leave(column);
    }

    /// <summary>It was no sweep: the trace is as it was before it began.</summary>
    internal void CancelSweep()
    {
        if (!_before!.IsOpen) return;
        for (int c = _before.First; c < _before.End; c++)
        {
            if (!_before.IsSaved(c)) continue;
            _columns.Copy(c, _before.Columns, c);
            _changes.Mark(c);
        }

        (Front, FrontMovesDown, _passFirstSweep, _passed) = _before.Before;
        SweepNumber = -1;
        _changes.MarkState();
        _before.Close();
    }

    /// <summary>Sweeps from a number on were none: their columns are unfilled, what the one under way touched is as it was before.</summary>
    internal void ForgetFrom(long sweepNumber)
    {
        CancelSweep();
        for (int c = 0; c < ColumnCount; c++)
            if (_columns.SweepNumbers[c] >= sweepNumber) ClearColumn(c);
        SetFront(-1);
        _passed = 0;
    }

    /// <summary>The sweep under way is about to end: what it writes from now on stands, so it may be drawn back but not cancelled any more.</summary>
    internal void SettleSweep() => _before?.Settle();

    /// <summary>Ends the sweep under way.</summary>
    /// <param name="reachedEnd">The beam reached its end edge: the rest of the columns counts as passed and no front is shown.</param>
    internal void EndSweep(bool reachedEnd)
    {
        if (reachedEnd)
        {
            AdvanceFront(FrontMovesDown ? -1 : ColumnCount);
            Front = -1;
        }

        SweepNumber = -1;
        _changes.MarkState();
        _before?.Close();
    }

    /// <summary>Closes a publish: what was written since the last becomes one version.</summary>
    /// <returns>Whether anything had changed.</returns>
    internal bool EndPublish() => _changes.Publish();

    /// <summary>Makes this trace the same as another one of the same shape, copying only what changed since this was last done.</summary>
    internal void CopyFrom(Trace source)
    {
        Debug.Assert(source.ColumnCount == ColumnCount, "A trace is copied into one of another shape.");
        if (source._changes.TryGetChanges(Version, out int first, out int end, out bool isWhole))
        {
            if (isWhole) _columns.CopyRange(first, end, source._columns);
            else CopyChanged(first, end, source);
        }

        _changes.Follow(source._changes, first, end);
        Front = source.Front;
        FrontMovesDown = source.FrontMovesDown;
        SweepNumber = source.SweepNumber;
        AxisNumber = source.AxisNumber;
    }

    private void CopyChanged(int first, int end, Trace source)
    {
        long seen = Version;
        ReadOnlySpan<long> versions = source.ColumnVersions;
        for (int c = first; c < end;)
        {
            int unchanged = versions[c..end].IndexOfAnyInRange(seen + 1, long.MaxValue);
            if (unchanged < 0) break;
            c += unchanged;
            int changed = versions[c..end].IndexOfAnyExceptInRange(seen + 1, long.MaxValue), next = changed < 0 ? end : c + changed;
            _columns.CopyRange(c, next, source._columns);
            c = next;
        }
    }

    private void Touch(int column)
    {
        _before!.Save(column, _columns);
        _changes.Mark(column);
    }
}
