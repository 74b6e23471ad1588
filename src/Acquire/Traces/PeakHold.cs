using System.Numerics;
using Acquire.Columns;
using Acquire.Scales;
using Acquire.Sweeps;

namespace Acquire.Traces;

/// <summary>Holds, per column, the highest and the lowest value on the screen over many sweeps.</summary>
/// <remarks>
/// Only filled columns without suspect scans enter. A sweep on a new axis or after a mark starts it anew by itself; after another
/// change call <see cref="Restart"/>. Values are not normalised. Memory is allocated once. Spans show memory owned by this object, changed by its
/// next call. Not thread-safe.
/// </remarks>
public sealed class PeakHold
{
    private readonly ColumnValues _values;
    private readonly SweepGate _gate;
    private readonly double[] _highest;
    private readonly double[] _lowest;
    private readonly double[] _fresh;
    private readonly long[] _counts;
    private readonly ColumnMarks[] _marks;
    private readonly HeldCodes? _highestCodes;
    private readonly HeldCodes? _lowestCodes;

    /// <summary>Holds the highest peak and the lowest minimum.</summary>
    /// <param name="values">Reader of the vertical.</param>
    /// <param name="columnCount">Columns of its sweeps, 1 or more.</param>
    /// <param name="unit">Unit of the values.</param>
    /// <param name="countAborted">Whether aborted sweeps enter.</param>
    /// <exception cref="ArgumentException">There is no column, or the unit is not available for this vertical; the message says why.</exception>
    public PeakHold(ColumnValues values, int columnCount, ValueUnit unit = ValueUnit.Code, bool countAborted = false)
        : this(values, columnCount, new ValueChoice(Detector.Peak, unit), new ValueChoice(Detector.Minimum, unit), countAborted)
    {
    }

    /// <summary>Holds the highest value of one choice and the lowest of another.</summary>
    /// <param name="values">Reader of the vertical.</param>
    /// <param name="columnCount">Columns of its sweeps, 1 or more.</param>
    /// <param name="highest">What <see cref="Highest"/> holds.</param>
    /// <param name="lowest">What <see cref="Lowest"/> holds.</param>
    /// <param name="countAborted">Whether aborted sweeps enter.</param>
    /// <exception cref="ArgumentException">There is no column, or a choice is not available for this vertical; the message says why.</exception>
    public PeakHold(ColumnValues values, int columnCount, ValueChoice highest, ValueChoice lowest, bool countAborted = false)
    {
        ArgumentNullException.ThrowIfNull(values);
        ArgumentOutOfRangeException.ThrowIfLessThan(columnCount, 1);
        ColumnValues.Require(values, highest);
        ColumnValues.Require(values, lowest);
        _values = values;
        HighestChoice = highest;
        LowestChoice = lowest;
        _gate = new SweepGate(columnCount, countAborted);
        _highest = new double[columnCount];
        _lowest = new double[columnCount];
        _fresh = new double[columnCount];
        _counts = new long[columnCount];
        _marks = new ColumnMarks[columnCount];
        _highestCodes = CodesOf(highest, values.RisesOnScreen(highest));
        _lowestCodes = CodesOf(lowest, !values.RisesOnScreen(lowest));
        Restart();
    }

    /// <summary>What <see cref="Highest"/> holds.</summary>
    public ValueChoice HighestChoice { get; }

    /// <summary>What <see cref="Lowest"/> holds.</summary>
    public ValueChoice LowestChoice { get; }

    /// <summary>The value highest on the screen, per column; NaN where no sweep filled it.</summary>
    public ReadOnlySpan<double> Highest => _highest;

    /// <summary>The value lowest on the screen, per column; NaN where no sweep filled it.</summary>
    public ReadOnlySpan<double> Lowest => _lowest;

    /// <summary>Sweeps that entered, per column.</summary>
    public ReadOnlySpan<long> Counts => _counts;

    /// <summary>Every mark that a column had in any sweep that entered, rails included.</summary>
    public ReadOnlySpan<ColumnMarks> Marks => _marks;

    /// <summary>Sweeps that entered since the start.</summary>
    public long SweepsTaken { get; private set; }

    /// <summary>Axis of the sweeps that entered; -1 before the first.</summary>
    public int AxisNumber => _gate.AxisNumber;

    /// <summary>Lets a sweep enter.</summary>
    /// <param name="info">What is known of the sweep.</param>
    /// <param name="columns">Its columns.</param>
    /// <param name="marks">Marks of its columns; empty when it has no suspect scans.</param>
    /// <returns>What was done with it.</returns>
    /// <exception cref="ArgumentException">Another number of columns than stated, or columns without the sum of a domain; nothing has changed.</exception>
    public SweepTaking Take(in SweepInfo info, ColumnStatistics columns, ReadOnlySpan<ColumnMarks> marks = default)
    {
        _gate.CheckShape(columns, marks);
        ColumnValues.Require(_values, HighestChoice, columns);
        ColumnValues.Require(_values, LowestChoice, columns);
        SweepTaking taking = _gate.Decide(info, marks);
        if (taking == SweepTaking.StartedAnew) Clear();
        else if (taking != SweepTaking.Taken) return taking;

        SweepsTaken++;
        Keep(columns, HighestChoice, marks, _highest, _values.RisesOnScreen(HighestChoice), _highestCodes);
        Keep(columns, LowestChoice, marks, _lowest, !_values.RisesOnScreen(LowestChoice), _lowestCodes);
        Count(columns.Counts, marks);
        return taking;
    }

    /// <summary>Drops everything: after a change of settings or of what the trace stands for.</summary>
    public void Restart()
    {
        _gate.Forget();
        Clear();
    }

    private void Clear()
    {
        SweepsTaken = 0;
        Array.Fill(_highest, double.NaN);
        Array.Fill(_lowest, double.NaN);
        Array.Clear(_counts);
        Array.Clear(_marks);
        _highestCodes?.Clear();
        _lowestCodes?.Clear();
    }

    private HeldCodes? CodesOf(ValueChoice choice, bool larger) =>
        _values.OrderByCode(choice) is { } rises and not 0 ? new HeldCodes(_counts.Length, higher: larger == rises > 0) : null;

    private void Keep(ColumnStatistics columns, ValueChoice choice, ReadOnlySpan<ColumnMarks> marks, double[] held, bool larger, HeldCodes? codes)
    {
        if (codes is null)
        {
            _values.Read(columns, choice, _fresh);
            SweepGate.KeepOut(marks, _fresh);
            HeldValues.Keep(held, _fresh, larger);
        }
        else
        {
            KeepByCode(columns, choice, marks, held, larger, codes);
        }

        _values.CollectMarks(columns, choice.Detector, marks, _marks);
    }

    // Most sweeps change little of what is held: values are read where a code says that something may change.
    private void KeepByCode(ColumnStatistics columns, ValueChoice choice, ReadOnlySpan<ColumnMarks> marks, double[] held, bool larger, HeldCodes codes)
    {
        ReadOnlySpan<ushort> all = _values.SingleCodes(columns, choice.Detector);
        for (int first = 0; first < held.Length; first += HeldCodes.Together)
        {
            if (!codes.MayChange(all, first)) continue;
            int n = Math.Min(HeldCodes.Together, held.Length - first);
            Span<double> fresh = _fresh.AsSpan(0, n);
            _values.Read(columns, first, choice, fresh);
            if (!marks.IsEmpty) SweepGate.KeepOut(marks.Slice(first, n), fresh);
            HeldValues.Keep(held.AsSpan(first, n), fresh, larger);
            codes.Take(all, fresh, held, first);
        }
    }

    private void Count(ReadOnlySpan<long> scans, ReadOnlySpan<ColumnMarks> marks)
    {
        if (SweepGate.AnyKeptOut(marks))
        {
            for (int c = 0; c < _counts.Length; c++)
                if (scans[c] > 0 && SweepGate.Enters(marks, c)) _counts[c]++;
            return;
        }

        int i = 0;
        // A comparison that holds gives -1.
        for (; i <= _counts.Length - Vector<long>.Count; i += Vector<long>.Count)
            (new Vector<long>(_counts, i) - Vector.GreaterThan(new Vector<long>(scans[i..]), Vector<long>.Zero)).CopyTo(_counts, i);
        for (; i < _counts.Length; i++) _counts[i] += scans[i] > 0 ? 1 : 0;
    }
}
