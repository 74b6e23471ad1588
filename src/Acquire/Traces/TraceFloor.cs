using Acquire.Columns;
using Acquire.Scales;

namespace Acquire.Traces;

/// <summary>The level below which the instrument shows itself: stated by a person, or recorded with a terminated input.</summary>
/// <remarks>Immutable; any thread may read it.</remarks>
public sealed class TraceFloor
{
    private readonly double _levelDb;
    private readonly TraceReference? _recorded;

    private TraceFloor(double levelDb, TraceReference? recorded)
    {
        _levelDb = levelDb;
        _recorded = recorded;
    }

    /// <summary>A floor that somebody states, the same in every column.</summary>
    /// <param name="levelDb">Level in the vertical's level unit.</param>
    /// <exception cref="ArgumentException">Not a finite number.</exception>
    public static TraceFloor Stated(double levelDb)
    {
        if (!double.IsFinite(levelDb)) throw new ArgumentException($"The floor is {levelDb} dB; it must be finite.", nameof(levelDb));
        return new TraceFloor(levelDb, recorded: null);
    }

    /// <summary>A floor that was recorded with a terminated input.</summary>
    /// <param name="trace">The trace, taken with the settings, the scale and the choice of the readings.</param>
    public static TraceFloor Recorded(TraceReference trace)
    {
        ArgumentNullException.ThrowIfNull(trace);
        return new TraceFloor(double.NaN, trace);
    }

    /// <summary>The recorded trace; null where the floor was stated.</summary>
    public TraceReference? Trace => _recorded;

    /// <summary>Whether this floor holds for a reading.</summary>
    /// <param name="reading">Conditions of the reading.</param>
    /// <returns>Agrees for a stated floor; for a recorded one as <see cref="TraceReference.Check"/>.</returns>
    public ReferenceCheck Check(TraceConditions reading)
    {
        ArgumentNullException.ThrowIfNull(reading);
        return _recorded is null
            ? new ReferenceCheck(ReferenceVerdict.Agrees, [], OffsetDb: 0)
            : ConditionsComparison.Compare(reading, _recorded.Conditions, allowedOffsetDb: null, "floor");
    }

    /// <summary>The floor of each column in the unit of the readings; NaN where unknown.</summary>
    internal double[] ValuesFor(TraceConditions reading, VerticalConverter converter)
    {
        if (_recorded is not null) return _recorded.Values.ToArray();
        bool isLevel = reading.Choice.Unit == ValueUnit.Level;
        double floor = isLevel ? _levelDb : converter.VoltsOfLevel(_levelDb);
        // RMS volts have no sign, wherever the volts of an input lie.
        if (!isLevel && reading.Choice.Detector == Detector.Rms) floor = Math.Abs(floor);
        double[] values = new double[reading.Axis.ColumnCount];
        Array.Fill(values, floor);
        return values;
    }
}
