using System.Buffers;
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
    private readonly ArrayBufferWriter<byte> _text = new(64 * 1024);
    private readonly byte[][] _units;

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
        _units = [.. readings.Select(reading => Encoding.UTF8.GetBytes(Quoted(reading.UnitName)))];
        Append(Encoding.UTF8.GetBytes(Positions.NameOf(setup.Axis)));
        Append(",count,peak,minimum,average,rms,sample,unit,sweep,vertical\r\n"u8);
        Flush();
    }

    /// <summary>Writes the records of one sweep.</summary>
    /// <param name="sweep">The engine's view.</param>
    public void Write(in SweepView sweep)
    {
        long number = sweep.Info.Number;
        for (int vertical = 0; vertical < _readings.Length; vertical++)
            WriteRecords(vertical, sweep.Verticals[vertical], sweep.Axis, _ => number);
    }

    /// <summary>Writes the records of the traces as they stand, each column with the number of the sweep that it is of.</summary>
    /// <param name="engine">The engine, between two calls.</param>
    public void WriteTraces(SweepEngine engine)
    {
        for (int vertical = 0; vertical < _readings.Length; vertical++)
        {
            Trace trace = engine.Traces[vertical];
            WriteRecords(vertical, trace.Columns, engine.Axis, column => trace.SweepNumbers[column]);
        }
    }

    private void WriteRecords(int vertical, ColumnStatistics columns, ColumnAxis axis, Func<int, long> sweepOf)
    {
        VerticalReading reading = _readings[vertical];
        for (int d = 0; d < Detectors.Length; d++)
            if (reading.Read(columns, Detectors[d], _values[d]) != ValueAvailability.Available) Array.Fill(_values[d], double.NaN);
        for (int column = 0; column < columns.ColumnCount; column++)
        {
            Append(Positions.Of(_setup.Axis, axis, column));
            Append(columns.Counts[column]);
            Append(","u8);
            foreach (double[] values in _values) Append(values[column]);
            Append(_units[vertical]);
            Append(","u8);
            if (sweepOf(column) is >= 0 and long sweep) Append(sweep);
            Append(","u8);
            Append((long)reading.Channel);
            Append("\r\n"u8);
        }

        Flush();
    }

    /// <summary>A field, in quotes where it needs them.</summary>
    public static string Quoted(string field) =>
        field.AsSpan().ContainsAny(",\"\r\n") ? $"\"{field.Replace("\"", "\"\"", StringComparison.Ordinal)}\"" : field;

    private void Append(double value)
    {
        if (double.IsFinite(value)) _text.Advance(NumberText.Write(_text.GetSpan(NumberText.MostBytes), value));
        Append(","u8);
    }

    private void Append(long value) => _text.Advance(NumberText.Write(_text.GetSpan(NumberText.MostBytes), value));

    private void Append(ReadOnlySpan<byte> text) => _text.Write(text);

    private void Flush()
    {
        _stream.Write(_text.WrittenSpan);
        _text.ResetWrittenCount();
    }
}
