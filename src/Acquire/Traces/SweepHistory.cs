using Acquire.Columns;
using Acquire.Sweeps;

namespace Acquire.Traces;

/// <summary>The last N sweeps as rows.</summary>
/// <remarks>
/// Memory is allocated once: depth times columns times 8 bytes. Taking a sweep costs the same whatever the depth. Values are not
/// normalised. A sweep on a new axis or after a mark starts a section by itself; after another change call <see cref="StartSection"/>.
/// Not thread-safe.
/// </remarks>
public sealed class SweepHistory
{
    /// <summary>Most rows.</summary>
    public const int MaxDepth = 65_536;

    private readonly ColumnValues _values;
    private readonly SweepGate _gate;
    private readonly double[][] _rows;
    private readonly SweepInfo[] _infos;
    private readonly int[] _sections;
    private readonly bool[] _starts;
    private int _newest = -1;
    private int _section = -1;
    private bool _sectionPending = true;

    /// <summary>Allocates a history.</summary>
    /// <param name="values">Reader of the vertical.</param>
    /// <param name="columnCount">Columns of its sweeps, 1 or more.</param>
    /// <param name="choice">What the rows hold.</param>
    /// <param name="depth">Rows, 1 to 65,536.</param>
    /// <param name="countAborted">Whether aborted sweeps become rows.</param>
    /// <exception cref="ArgumentException">There is no column, the choice is not available for this vertical, or the depth is out of range; the message says why.</exception>
    public SweepHistory(ColumnValues values, int columnCount, ValueChoice choice, int depth, bool countAborted = false)
    {
        ArgumentNullException.ThrowIfNull(values);
        ArgumentOutOfRangeException.ThrowIfLessThan(columnCount, 1);
        if (depth is < 1 or > MaxDepth)
            throw new ArgumentException($"The history is {depth} sweeps deep; it keeps 1 to {MaxDepth}.", nameof(depth));
        ColumnValues.Require(values, choice);
        _values = values;
        Choice = choice;
        ColumnCount = columnCount;
        _gate = new SweepGate(columnCount, countAborted);
        _rows = new double[depth][];
        for (int i = 0; i < depth; i++) _rows[i] = new double[columnCount];
        _infos = new SweepInfo[depth];
        _sections = new int[depth];
        _starts = new bool[depth];
    }

    /// <summary>What the rows hold.</summary>
    public ValueChoice Choice { get; }

    /// <summary>Columns of a row.</summary>
    public int ColumnCount { get; }

    /// <summary>Rows that it can hold.</summary>
    public int Depth => _rows.Length;

    /// <summary>Rows that it holds.</summary>
    public int Count { get; private set; }

    /// <summary>Sweeps taken since it was made or cleared; a painter that saw T of them has Taken - T new rows.</summary>
    public long Taken { get; private set; }

    /// <summary>Takes a sweep as the newest row; when full the oldest is dropped.</summary>
    /// <param name="info">What is known of the sweep.</param>
    /// <param name="columns">Its columns.</param>
    /// <param name="marks">Marks of its columns; empty when it has no suspect scans.</param>
    /// <returns>What was done with it; started anew means that it begins a section because of its axis or a mark.</returns>
    /// <exception cref="ArgumentException">Another number of columns than stated, or columns without the domain's sum; nothing has changed.</exception>
    public SweepTaking Take(in SweepInfo info, ColumnStatistics columns, ReadOnlySpan<ColumnMarks> marks = default)
    {
        _gate.CheckShape(columns, marks);
        ColumnValues.Require(_values, Choice, columns);
        SweepTaking taking = _gate.Decide(info, marks);
        if (taking is not (SweepTaking.Taken or SweepTaking.StartedAnew)) return taking;
        if (taking == SweepTaking.StartedAnew) _sectionPending = true;
        if (_sectionPending) _section++;

        _newest = (_newest + 1) % Depth;
        double[] row = _rows[_newest];
        _values.Read(columns, Choice, row);
        SweepGate.KeepOut(marks, row);
        _infos[_newest] = info;
        _sections[_newest] = _section;
        _starts[_newest] = _sectionPending;
        _sectionPending = false;
        Count = Math.Min(Count + 1, Depth);
        Taken++;
        return taking;
    }

    /// <summary>Lets the next sweep begin a section: after a change of settings or of what the trace stands for.</summary>
    public void StartSection() => _sectionPending = true;

    /// <summary>Reads a row, newest first.</summary>
    /// <param name="back">0 is the newest, Count - 1 the oldest.</param>
    /// <returns>A view, valid until the next sweep is taken.</returns>
    /// <exception cref="ArgumentOutOfRangeException">There is no such row.</exception>
    public HistoryRow Newest(int back)
    {
        if (back < 0 || back >= Count)
            throw new ArgumentOutOfRangeException(nameof(back), back, $"Row {back} was asked for but the history holds {Count}; ask for 0 to Count - 1.");
        int row = _newest - back;
        if (row < 0) row += Depth;
        return new HistoryRow(_infos[row], _rows[row], _sections[row], _starts[row]);
    }

    /// <summary>Reads a row, oldest first.</summary>
    /// <param name="forward">0 is the oldest, Count - 1 the newest.</param>
    /// <returns>A view, valid until the next sweep is taken.</returns>
    /// <exception cref="ArgumentOutOfRangeException">There is no such row.</exception>
    public HistoryRow Oldest(int forward)
    {
        if (forward < 0 || forward >= Count)
        {
            throw new ArgumentOutOfRangeException(
                nameof(forward), forward, $"Row {forward} was asked for but the history holds {Count}; ask for 0 to Count - 1.");
        }

        return Newest(Count - 1 - forward);
    }

    /// <summary>Drops every row; the next sweep begins section 0.</summary>
    public void Clear()
    {
        _gate.Forget();
        Count = 0;
        Taken = 0;
        _newest = -1;
        _section = -1;
        _sectionPending = true;
    }
}
