using System.Buffers;
using System.Text.Json;
using Acquire.Columns;
using Acquire.Harness.Runs;

namespace Acquire.Harness.Output;

/// <summary>Writes one line of JSON per sweep and vertical, as it ends.</summary>
internal sealed class SweepLineWriter : IDisposable
{
    private readonly Stream _stream;
    private readonly VerticalReading[] _readings;
    private readonly DetectorTexts[][] _texts;
    private readonly ArrayBufferWriter<byte> _line = new(64 * 1024);
    private readonly Utf8JsonWriter _json;
    private readonly NumberArrayText _numbers;

    /// <summary>Allocates what every line needs.</summary>
    /// <param name="stream">Gets the lines; the caller closes it.</param>
    /// <param name="setup">Setup of the run.</param>
    /// <param name="readings">How each vertical is read.</param>
    public SweepLineWriter(Stream stream, Setup setup, VerticalReading[] readings)
    {
        _stream = stream;
        _readings = readings;
        _texts = [.. readings.Select(reading => DetectorTexts.Of(reading, setup.Columns.ColumnCount))];
        _json = new Utf8JsonWriter(_line);
        _numbers = new NumberArrayText(setup.Columns.ColumnCount);
    }

    /// <summary>Writes the lines of one sweep.</summary>
    /// <param name="sweep">The engine's view.</param>
    public void Write(in SweepView sweep)
    {
        for (int vertical = 0; vertical < _readings.Length; vertical++)
        {
            _line.ResetWrittenCount();
            _json.Reset(_line);
            WriteObject(sweep, sweep.Verticals[vertical], _readings[vertical], _texts[vertical]);
            _json.Flush();
            _stream.Write(_line.WrittenSpan);
            _stream.Write("\n"u8);
        }
    }

    /// <summary>Ends the writer; the stream stays open.</summary>
    public void Dispose() => _json.Dispose();

    private void WriteObject(in SweepView sweep, ColumnStatistics columns, VerticalReading reading, DetectorTexts[] detectors)
    {
        _json.WriteStartObject();
        _json.WriteNumber("number"u8, sweep.Info.Number);
        if (_readings.Length > 1) _json.WriteNumber("vertical"u8, reading.Channel);
        _json.WriteNumber("startScan"u8, sweep.Info.StartScan);
        _json.WriteNumber("endScan"u8, sweep.Info.EndScan);
        _json.WriteBoolean("complete"u8, sweep.Info.Complete);
        _json.WriteString("startReason"u8, WordNames.Of(sweep.Info.StartReason));
        _json.WriteString("endReason"u8, WordNames.Of(sweep.Info.EndReason));
        _json.WriteString("direction"u8, WordNames.Of(sweep.Info.Direction));
        _json.WriteNumber("columns"u8, columns.ColumnCount);
        _json.WriteString("placement"u8, WordNames.PlacementOf(sweep.Info));
        _json.WriteNumber("scansFitted"u8, sweep.Info.ScansFitted);
        _json.WriteNumber("scansInColumns"u8, sweep.Info.ScansInColumns);
        _json.WriteNumber("axis"u8, sweep.Info.AxisNumber);
        if (sweep.Info.MarkWord is { } word) _json.WriteNumber("mark"u8, word);
        _json.WriteString("unit"u8, reading.UnitName);
        WriteNumbers("count", _numbers.Of(columns.Counts));
        foreach (DetectorTexts detector in detectors) WriteDetector(columns, detector);
        _json.WriteEndObject();
    }

    private void WriteDetector(ColumnStatistics columns, DetectorTexts detector)
    {
        string name = WordNames.Of(detector.Detector);
        if (detector.Take(columns)) WriteNumbers(name, _numbers.Of(detector, columns.ColumnCount));
        else _json.WriteNull(name);
    }

    private void WriteNumbers(string name, ReadOnlySpan<byte> numbers)
    {
        _json.WritePropertyName(name);
        _json.WriteRawValue(numbers, skipInputValidation: true);
    }
}
