using System.Globalization;
using System.Text;
using Acquire.Columns;
using Acquire.Harness.Runs;
using Acquire.Scales;

namespace Acquire.Harness.Output;

/// <summary>Writes the columns of sweeps as comma-separated values (RFC 4180), one record per column.</summary>
internal sealed class SweepTableCsv
{
    private static readonly Detector[] Detectors = [Detector.Peak, Detector.Minimum, Detector.Average, Detector.Rms, Detector.Sample];

    private readonly Stream _stream;
    private readonly Setup _setup;
    private readonly VerticalReading[] _readings;
    private readonly double[][] _values;
    private readonly StringBuilder _text = new();

    /// <summary>Writes the header.</summary>
    /// <param name="stream">Gets the text; the caller closes it.</param>
    /// <param name="setup">Setup of the run.</param>
    /// <param name="readings">How each vertical is read.</param>
    public SweepTableCsv(Stream stream, Setup setup, VerticalReading[] readings)
    {
        _stream = stream;
        _setup = setup;
        _readings = readings;
        _values = [.. Detectors.Select(_ => new double[setup.Columns.ColumnCount])];
        _text.Append(Positions.NameOf(setup.Axis)).Append(",count,peak,minimum,average,rms,sample,unit,sweep,vertical\r\n");
        Flush();
    }

    /// <summary>Writes the records of one sweep.</summary>
    /// <param name="sweep">The engine's view.</param>
    public void Write(in SweepView sweep)
    {
        for (int vertical = 0; vertical < _readings.Length; vertical++)
        {
            VerticalReading reading = _readings[vertical];
            ColumnStatistics columns = sweep.Verticals[vertical];
            for (int d = 0; d < Detectors.Length; d++)
                if (reading.Read(columns, Detectors[d], _values[d]) != Traces.ValueAvailability.Available) Array.Fill(_values[d], double.NaN);
            for (int column = 0; column < columns.ColumnCount; column++)
            {
                Append(Positions.Of(_setup.Axis, sweep.Axis, column));
                _text.Append(columns.Counts[column]).Append(',');
                foreach (double[] values in _values) Append(values[column]);
                _text.Append(Quoted(reading.UnitName)).Append(',').Append(sweep.Info.Number).Append(',').Append(reading.Channel).Append("\r\n");
            }

            Flush();
        }
    }

    /// <summary>A field, in quotes where it needs them.</summary>
    public static string Quoted(string field) =>
        field.AsSpan().ContainsAny(",\"\r\n") ? $"\"{field.Replace("\"", "\"\"", StringComparison.Ordinal)}\"" : field;

    private void Append(double value)
    {
        if (double.IsFinite(value)) _text.Append(value.ToString("R", CultureInfo.InvariantCulture));
        _text.Append(',');
    }

    private void Flush()
    {
        _stream.Write(Encoding.UTF8.GetBytes(_text.ToString()));
        _text.Clear();
    }
}
