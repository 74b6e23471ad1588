using System.Globalization;
using System.Text;
using Acquire.Columns;
using Acquire.Harness.Runs;
using Acquire.Traces;

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
        long number = sweep.Info.Number;
        for (int vertical = 0; vertical < _readings.Length; vertical++)
            WriteRecords(_readings[vertical], sweep.Verticals[vertical], sweep.Axis, _ => number);
    }

    /// <summary>Writes the records of the traces as they stand, each column with the number of the sweep that it is of.</summary>
    /// <param name="engine">The engine, between two calls.</param>
    public void WriteTraces(SweepEngine engine)
    {
        for (int vertical = 0; vertical < _readings.Length; vertical++)
        {
            Trace trace = engine.Traces[vertical];
            WriteRecords(_readings[vertical], trace.Columns, engine.Axis, column => trace.SweepNumbers[column]);
        }
    }

    private void WriteRecords(VerticalReading reading, ColumnStatistics columns, ColumnAxis axis, Func<int, long> sweepOf)
    {
        for (int d = 0; d < Detectors.Length; d++)
            if (reading.Read(columns, Detectors[d], _values[d]) != ValueAvailability.Available) Array.Fill(_values[d], double.NaN);
        for (int column = 0; column < columns.ColumnCount; column++)
        {
            Append(Positions.Of(_setup.Axis, axis, column));
            _text.Append(columns.Counts[column]).Append(',');
            foreach (double[] values in _values) Append(values[column]);
            _text.Append(Quoted(reading.UnitName)).Append(',');
            if (sweepOf(column) >= 0) _text.Append(sweepOf(column));
            _text.Append(',').Append(reading.Channel).Append("\r\n");
        }

        Flush();
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
