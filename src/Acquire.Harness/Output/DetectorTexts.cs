using Acquire.Columns;
using Acquire.Harness.Runs;
using Acquire.Traces;

namespace Acquire.Harness.Output;

/// <summary>What one detector makes of the columns of one vertical, as text.</summary>
internal sealed class DetectorTexts
{
    private static readonly Detector[] Detectors = [Detector.Peak, Detector.Minimum, Detector.Average, Detector.Rms, Detector.Sample];

    private readonly VerticalReading _reading;
    private readonly CodeTexts _codes;

    // Of a mean: a single reading has the text of its code.
    private readonly double[]? _values;
    private ColumnStatistics? _columns;

    private DetectorTexts(VerticalReading reading, Detector detector, CodeTexts codes, int columnCount)
    {
        _reading = reading;
        _codes = codes;
        Detector = detector;
        if (detector is Detector.Average or Detector.Rms) _values = new double[columnCount];
    }

    /// <summary>The detector.</summary>
    public Detector Detector { get; }

    /// <summary>Every detector, in the order in which they are written.</summary>
    /// <param name="reading">How the vertical is read.</param>
    /// <param name="columnCount">Columns of a sweep.</param>
    public static DetectorTexts[] Of(VerticalReading reading, int columnCount)
    {
        CodeTexts codes = new(reading);
        return [.. Detectors.Select(detector => new DetectorTexts(reading, detector, codes, columnCount))];
    }

    /// <summary>Takes the columns of a sweep.</summary>
    /// <param name="columns">Stay as they are while they are written.</param>
    /// <returns>Whether this detector's values can be had of them; where not, no column has one.</returns>
    public bool Take(ColumnStatistics columns)
    {
        bool available = _values is null
            ? _reading.Check(columns, Detector) == ValueAvailability.Available
            : _reading.Read(columns, Detector, _values) == ValueAvailability.Available;
        _columns = available ? columns : null;
        return available;
    }

    /// <summary>Writes the value of one column.</summary>
    /// <param name="text">Has room for <see cref="NumberText.MostBytes"/>; what lies after the text changes too.</param>
    /// <param name="column">Column.</param>
    /// <returns>Bytes written; 0 where there is no value.</returns>
    public int Write(Span<byte> text, int column)
    {
        if (_columns is not { } columns || columns.Counts[column] == 0) return 0;
        if (_values is null) return _codes.Write(text, _reading.CodesOf(columns, Detector)[column]);
        double value = _values[column];
        return double.IsFinite(value) ? NumberText.Write(text, value) : 0;
    }
}
