using Acquire.Columns;

namespace Acquire.Traces;

/// <summary>A stored trace that readings are compared with: values per column and everything that they were taken with.</summary>
/// <remarks>Immutable; any thread may read it. The same type keeps a recorded noise floor (see <see cref="TraceFloor"/>).</remarks>
public sealed class TraceReference
{
    private readonly double[] _values;
    private readonly ColumnMarks[] _marks;

    /// <summary>Stores a trace.</summary>
    /// <param name="conditions">What it was taken with.</param>
    /// <param name="values">One value per column as taken, not normalised, NaN where unfilled; copied.</param>
    /// <param name="marks">One mark per column, with <see cref="ColumnMarks.AtRail"/> where a reading was at a rail; copied. Empty for none.</param>
    /// <param name="sweeps">Sweeps that went into it, for the record.</param>
    /// <exception cref="ArgumentException">Not one value and one mark per column.</exception>
    public TraceReference(TraceConditions conditions, ReadOnlySpan<double> values, ReadOnlySpan<ColumnMarks> marks, long sweeps)
    {
        ArgumentNullException.ThrowIfNull(conditions);
        int columns = conditions.Axis.ColumnCount;
        if (values.Length != columns || (!marks.IsEmpty && marks.Length != columns))
        {
            throw new ArgumentException(
                $"There are {values.Length} values and {marks.Length} marks but the axis has {columns} columns; give one of each per column.");
        }

        Conditions = conditions;
        Sweeps = sweeps;
        _values = values.ToArray();
        _marks = marks.IsEmpty ? new ColumnMarks[columns] : marks.ToArray();
    }

    /// <summary>Stores an average.</summary>
    /// <param name="average">The average as it stands; copied.</param>
    /// <param name="conditions">What it was taken with; the choice is that of the average.</param>
    /// <exception cref="ArgumentException">The average has another number of columns than the axis.</exception>
    public static TraceReference Of(TraceAverage average, TraceConditions conditions)
    {
        ArgumentNullException.ThrowIfNull(average);
        ArgumentNullException.ThrowIfNull(conditions);
        double[] values = new double[average.ColumnCount];
        average.Read(values);
        return new TraceReference(conditions with { Choice = average.Choice }, values, average.Marks, average.SweepsTaken);
    }

    /// <summary>What it was taken with.</summary>
    public TraceConditions Conditions { get; }

    /// <summary>Sweeps that went into it.</summary>
    public long Sweeps { get; }

    /// <summary>One value per column, NaN where unfilled.</summary>
    public ReadOnlySpan<double> Values => _values;

    /// <summary>One mark per column.</summary>
    public ReadOnlySpan<ColumnMarks> Marks => _marks;

    /// <summary>Compares what a reading was taken with against what this was taken with.</summary>
    /// <param name="reading">Conditions of the reading.</param>
    /// <param name="allowedOffsetDb">Null refuses settings that are known and differ. A number allows them: so many decibels higher
    /// would this reference be, had it been taken with the reading's settings; 0 says that the difference changes no level. Finite.</param>
    /// <exception cref="ArgumentOutOfRangeException">The offset is not finite.</exception>
    /// <remarks>Detector, grid, edges, scale and placement are never allowed to differ; edges and frequencies may by a quarter column.</remarks>
    public ReferenceCheck Check(TraceConditions reading, double? allowedOffsetDb = null)
    {
        ArgumentNullException.ThrowIfNull(reading);
        if (allowedOffsetDb is { } offsetDb && !double.IsFinite(offsetDb))
            throw new ArgumentOutOfRangeException(nameof(allowedOffsetDb), allowedOffsetDb, $"The offset is {offsetDb} dB; it must be finite. Give the decibels that the difference makes, 0 for none.");
        return ConditionsComparison.Compare(reading, Conditions, allowedOffsetDb, "reference");
    }
}
