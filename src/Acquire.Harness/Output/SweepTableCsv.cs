using System.Text;
using Acquire.Columns;
using Acquire.Harness.Runs;
using Acquire.Traces;

namespace Acquire.Harness.Output;

/// <summary>Writes the columns of sweeps as comma-separated values (RFC 4180), one record per column.</summary>
internal sealed class SweepTableCsv
{
    private const int BufferBytes = 64 << 10;

    private readonly Stream _stream;
    private readonly Setup _setup;
    private readonly VerticalReading[] _readings;
    private readonly DetectorTexts[][] _texts;

    // Where each column lies, with the comma behind it: the same in every sweep on one axis.
    private readonly ShortTexts _positions;
    private ColumnAxis? _axis;

    // What stands before and behind a sweep's number in every record of a vertical, and both with the number between them.
    private readonly byte[][] _units, _ends;
    private readonly byte[] _tail;
    private readonly byte[] _text;
    private int _length;

    /// <summary>Allocates what every sweep needs.</summary>
    /// <param name="stream">Gets the records; the caller closes it.</param>
    /// <param name="setup">Setup of the run.</param>
    /// <param name="readings">How each vertical is read.</param>
    public SweepTableCsv(Stream stream, Setup setup, VerticalReading[] readings)
    {
        int columns = setup.Columns.ColumnCount;
        _stream = stream;
        _setup = setup;
        _readings = readings;
        _texts = [.. readings.Select(reading => DetectorTexts.Of(reading, columns))];
        _positions = new ShortTexts(columns);
        _units = [.. readings.Select(reading => Encoding.UTF8.GetBytes($"{Quoted(reading.UnitName)},"))];
        _ends = [.. readings.Select(reading => Encoding.UTF8.GetBytes($",{reading.Channel}\r\n"))];

        _tail = new byte[_units.Max(unit => unit.Length) + NumberText.MostBytes + _ends.Max(end => end.Length)];

        // Where the column lies, its other numbers, each with a comma, and what is ready.
        const int numbers = 6;
        _text = new byte[BufferBytes + ShortTexts.MostBytes + (numbers * (NumberText.MostBytes + 1)) + _tail.Length];
    }

    /// <summary>Writes what stands above the records.</summary>
    /// <param name="stream">Gets the text; the caller closes it.</param>
    /// <param name="setup">Setup of the run.</param>
    public static void WriteHeader(Stream stream, Setup setup) =>
        stream.Write(Encoding.UTF8.GetBytes($"{Positions.NameOf(setup.Axis)},count,peak,minimum,average,rms,sample,unit,sweep,vertical\r\n"));

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

    /// <summary>A field, in quotes where it needs them.</summary>
    public static string Quoted(string field) =>
        field.AsSpan().ContainsAny(",\"\r\n") ? $"\"{field.Replace("\"", "\"\"", StringComparison.Ordinal)}\"" : field;

    private void Place(ColumnAxis axis, int columns)
    {
        Span<byte> text = stackalloc byte[NumberText.MostBytes + 1];
        for (int column = 0; column < columns; column++)
        {
            double position = Positions.Of(_setup.Axis, axis, column);
            int bytes = double.IsFinite(position) ? NumberText.Write(text, position) : 0;
            text[bytes++] = (byte)',';
            _positions.Set(column, text[..bytes]);
        }

        _axis = axis;
    }

    private void WriteRecords(int vertical, ColumnStatistics columns, ColumnAxis axis, Func<int, long> sweepOf)
    {
        if (!ReferenceEquals(axis, _axis)) Place(axis, columns.ColumnCount);
        DetectorTexts[] detectors = _texts[vertical];
        foreach (DetectorTexts detector in detectors) detector.Take(columns);
        long tailOf = sweepOf(0);
        int tailBytes = MakeTail(vertical, tailOf);
        for (int column = 0; column < columns.ColumnCount; column++)
        {
            if (_length > BufferBytes) Flush();
            if (sweepOf(column) is var sweep && sweep != tailOf) tailBytes = MakeTail(vertical, tailOf = sweep);
            Span<byte> text = _text.AsSpan(_length);
            int at = _positions.Write(text, column);
            at += NumberText.Write(text[at..], columns.Counts[column]);
            text[at++] = (byte)',';
            foreach (DetectorTexts detector in detectors)
            {
                at += detector.Write(text[at..], column);
                text[at++] = (byte)',';
            }

            _tail.AsSpan(0, tailBytes).CopyTo(text[at..]);
            _length += at + tailBytes;
        }

        Flush();
    }

    private int MakeTail(int vertical, long sweep)
    {
        Span<byte> tail = _tail;
        _units[vertical].CopyTo(tail);
        int at = _units[vertical].Length;
        if (sweep >= 0) at += NumberText.Write(tail[at..], sweep);
        _ends[vertical].CopyTo(tail[at..]);
        return at + _ends[vertical].Length;
    }

    private void Flush()
    {
        _stream.Write(_text, 0, _length);
        _length = 0;
    }
}
