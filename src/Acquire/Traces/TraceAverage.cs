using System.Numerics;
using System.Runtime.InteropServices;
using Acquire.Columns;
using Acquire.Sweeps;

namespace Acquire.Traces;

/// <summary>The mean of a value over sweeps, per column, in its averaging domain.</summary>
/// <remarks>
/// <para>What is averaged is the quantity behind the value, never the value: power for RMS and for the power domain, voltage for the
/// voltage domain, codes where the domain is a straight line over codes. Each sweep has the same weight in a column, however many scans
/// it had there. Sums are compensated doubles: what rounding takes from one addition the next gives back.</para>
/// <para>Block: each column takes N sweeps, and the average is finished after N complete sweeps or when every column has N.
/// Running: up to N sweeps the mean of all; then <c>mean += (new - mean) / N</c>, so a step is followed to 63 % after about N sweeps.</para>
/// <para>Only filled columns without suspect scans enter. A sweep on a new axis or after a mark starts it anew by itself; after another change
/// call <see cref="Restart"/>. Values are not normalised. Memory is allocated once. Spans show memory owned by this object, changed by its
/// next call. Not thread-safe.</para>
/// </remarks>
public sealed class TraceAverage
{
    private readonly ColumnValues _values;
    private readonly SweepGate _gate;

    // Sums over sweeps; of a running average's columns that have their N sweeps, means.
    private readonly double[] _sums;
    private readonly double[] _corrections;
    private readonly double[] _fresh;
    private readonly int[] _counts;
    private readonly ColumnMarks[] _marks;
    private ValueBasis _basis;
    private int _completeSweeps;
    private int _fullColumns;

    /// <summary>Starts an average.</summary>
    /// <param name="values">Reader of the vertical.</param>
    /// <param name="columnCount">Columns of its sweeps, 1 or more.</param>
    /// <param name="choice">What is averaged.</param>
    /// <param name="mode">Block or running.</param>
    /// <param name="sweeps">N, 1 or more.</param>
    /// <param name="countAborted">Whether aborted sweeps enter.</param>
    /// <exception cref="ArgumentException">There is no column or no sweep to average, or the choice is not available for this vertical; the message says why.</exception>
    public TraceAverage(ColumnValues values, int columnCount, ValueChoice choice, AveragingMode mode, int sweeps, bool countAborted = false)
    {
        ArgumentNullException.ThrowIfNull(values);
        ArgumentOutOfRangeException.ThrowIfLessThan(columnCount, 1);
        if (sweeps < 1) throw new ArgumentException($"The average is over {sweeps} sweeps; it needs 1 or more.", nameof(sweeps));
        ColumnValues.Require(values, choice);
        _values = values;
        Choice = choice;
        Mode = mode;
        Sweeps = sweeps;
        _gate = new SweepGate(columnCount, countAborted);
        _sums = new double[columnCount];
        _corrections = new double[columnCount];
        _fresh = new double[columnCount];
        _counts = new int[columnCount];
        _marks = new ColumnMarks[columnCount];
    }

    /// <summary>What is averaged.</summary>
    public ValueChoice Choice { get; }

    /// <summary>Block or running.</summary>
    public AveragingMode Mode { get; }

    /// <summary>N: sweeps that the average is made for.</summary>
    public int Sweeps { get; }

    /// <summary>Columns.</summary>
    public int ColumnCount => _counts.Length;

    /// <summary>Sweeps in each column's mean, at most <see cref="Sweeps"/>.</summary>
    public ReadOnlySpan<int> Counts => _counts;

    /// <summary>Every mark that a column had in any sweep that entered, rails included.</summary>
    public ReadOnlySpan<ColumnMarks> Marks => _marks;

    /// <summary>Sweeps that entered since the start, whole or in part.</summary>
    public long SweepsTaken { get; private set; }

    /// <summary>A block average has its sweeps and takes no more.</summary>
    public bool IsFinished => Mode == AveragingMode.Block && (_completeSweeps >= Sweeps || _fullColumns == _counts.Length);

    /// <summary>Axis of the sweeps that entered; -1 before the first.</summary>
    public int AxisNumber => _gate.AxisNumber;

    /// <summary>Lets a sweep enter.</summary>
    /// <param name="info">What is known of the sweep.</param>
    /// <param name="columns">Its columns.</param>
    /// <param name="marks">Marks of its columns; empty when it has no suspect scans.</param>
    /// <returns>What was done with it.</returns>
    /// <exception cref="ArgumentException">Another number of columns than stated, or columns without the domain's sum; nothing has changed.</exception>
    public SweepTaking Take(in SweepInfo info, ColumnStatistics columns, ReadOnlySpan<ColumnMarks> marks = default)
    {
        _gate.CheckShape(columns, marks);
        ColumnValues.Require(_values, Choice, columns);
        if (IsFinished && _gate.GoesOn(info)) return SweepTaking.Finished;
        SweepTaking taking = _gate.Decide(info, marks);
        if (taking == SweepTaking.StartedAnew) Clear();
        else if (taking != SweepTaking.Taken) return taking;

        SweepsTaken++;
        if (info.Complete && _completeSweeps < Sweeps) _completeSweeps++;
        _values.ReadQuantities(columns, 0, Choice, _fresh, out _basis);
        if (Follows && _fullColumns == _counts.Length) FollowAll(columns, marks);
        else AddEach(columns, marks);
        return taking;
    }

    /// <summary>Reads the mean of every column.</summary>
    /// <param name="values">Gets one value per column in the choice's unit, NaN where no sweep entered; at least as long as there are columns.</param>
    /// <exception cref="ArgumentException">There is not room for one value per column; nothing was written.</exception>
    public void Read(Span<double> values)
    {
        if (values.Length < _counts.Length)
            throw new ArgumentException($"Room for {values.Length} values but there are {_counts.Length} columns; give one value per column.", nameof(values));
        if (Follows && _fullColumns == _counts.Length)
        {
            _sums.CopyTo(values);
        }
        else
        {
            for (int c = 0; c < _counts.Length; c++) values[c] = _counts[c] > 0 ? MeanOf(c) : double.NaN;
        }

        _values.ReadValues(values[.._counts.Length], _basis, Choice);
    }

    /// <summary>Drops everything: after a change of settings or of what the trace stands for.</summary>
    public void Restart()
    {
        _gate.Forget();
        Clear();
    }

    private bool Follows => Mode == AveragingMode.Running;

    private double MeanOf(int column) => Follows && _counts[column] == Sweeps ? _sums[column] : (_sums[column] + _corrections[column]) / _counts[column];

    private void AddEach(ColumnStatistics columns, ReadOnlySpan<ColumnMarks> marks)
    {
        for (int c = 0; c < _fresh.Length; c++)
        {
            if (double.IsNaN(_fresh[c]) || !SweepGate.Enters(marks, c)) continue;
            if (!Add(c, _fresh[c])) continue;
            if (!marks.IsEmpty) _marks[c] |= marks[c];
            if (_values.IsAtRail(columns, c, Choice.Detector)) _marks[c] |= ColumnMarks.AtRail;
        }
    }

    // A running average whose columns all have their N sweeps: as AddEach, some columns at a time.
    private void FollowAll(ColumnStatistics columns, ReadOnlySpan<ColumnMarks> marks)
    {
        SweepGate.KeepOut(marks, _fresh);
        Vector<double> n = new(Sweeps), infinity = new(double.PositiveInfinity);
        ref double fresh = ref MemoryMarshal.GetArrayDataReference(_fresh), means = ref MemoryMarshal.GetArrayDataReference(_sums);
        int c = 0;
        for (; c <= _fresh.Length - Vector<double>.Count; c += Vector<double>.Count)
        {
            Vector<double> quantity = Vector.LoadUnsafe(ref fresh, (nuint)c), mean = Vector.LoadUnsafe(ref means, (nuint)c);
            Vector<long> finite = Vector.LessThan(Vector.Abs(mean), infinity), enters = Vector.Equals(quantity, quantity);
            Vector<double> next = Vector.ConditionalSelect(finite, mean + ((quantity - mean) / n), quantity);
            Vector.ConditionalSelect(enters, next, mean).StoreUnsafe(ref means, (nuint)c);
        }

        for (; c < _fresh.Length; c++)
            if (!double.IsNaN(_fresh[c])) Add(c, _fresh[c]);
        _values.CollectMarks(columns, Choice.Detector, marks, _marks);
    }

    private bool Add(int column, double quantity)
    {
        if (_counts[column] < Sweeps)
        {
            CompensatedSum.Add(ref _sums[column], ref _corrections[column], quantity);
            if (++_counts[column] < Sweeps) return true;
            _fullColumns++;
            if (Follows) _sums[column] = (_sums[column] + _corrections[column]) / Sweeps;
            return true;
        }

        if (!Follows) return false;
        double mean = _sums[column];
        // A mean of decibels that met no input is minus infinity and would stay so for ever; it begins again with the new reading.
        _sums[column] = double.IsFinite(mean) ? mean + ((quantity - mean) / Sweeps) : quantity;
        return true;
    }

    private void Clear()
    {
        SweepsTaken = 0;
        _completeSweeps = 0;
        _fullColumns = 0;
        Array.Clear(_sums);
        Array.Clear(_corrections);
        Array.Clear(_counts);
        Array.Clear(_marks);
    }
}
