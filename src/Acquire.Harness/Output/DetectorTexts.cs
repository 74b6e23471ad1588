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

    // Per column: of a mean the value, not a number where there is none; of a single reading the place of its code's text.
    private readonly double[]? _values;
    private readonly int[] _places = [];

    private DetectorTexts(VerticalReading reading, Detector detector, CodeTexts codes, int columnCount)
    {
        _reading = reading;
        _codes = codes;
        Detector = detector;
        if (detector is Detector.Average or Detector.Rms) _values = new double[columnCount];
        else _places = new int[columnCount];
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
    /// <param name="columns">Columns; they may change afterwards.</param>
    /// <returns>Whether this detector's values can be had of them; where not, no column has one.</returns>
    public bool Take(ColumnStatistics columns)
    {
        if (_values is not null)
        {
            bool read = _reading.Read(columns, Detector, _values) == ValueAvailability.Available;
            if (!read) Array.Fill(_values, double.NaN);
            return read;
        }

        bool available = _reading.Check(columns, Detector) == ValueAvailability.Available;
        ReadOnlySpan<ushort> codes = _reading.CodesOf(columns, Detector);
        ReadOnlySpan<long> counts = columns.Counts;
        for (int column = 0; column < _places.Length; column++)
            _places[column] = available && counts[column] > 0 ? codes[column] : _codes.NoPlace;
        return available;
    }

    /// <summary>Writes the value of one column.</summary>
    /// <param name="text">Has room for <see cref="NumberText.MostBytes"/>; what lies after the text changes too.</param>
    /// <param name="column">Column.</param>
    /// <returns>Bytes written; 0 where there is no value.</returns>
    public int Write(Span<byte> text, int column)
    {
        if (_values is null) return _codes.Write(text, _places[column]);
        double value = _values[column];
        return double.IsFinite(value) ? NumberText.Write(text, value) : 0;
    }
}
