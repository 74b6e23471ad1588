using Acquire;
using Acquire.Columns;
using Acquire.Recordings;
using Acquire.Scales;
using Acquire.Traces;

// Prints the highest level of each sweep of a recording, and where it lies.
internal sealed class HighestLevels(Setup setup, TextWriter output) : ISweepSink
{
    private readonly ColumnValues _values = new(new VerticalConverter(setup.VerticalScaleOf(0), setup.Scan.FullCode));
    private readonly double[] _levels = new double[setup.Columns.ColumnCount];

    // Called by the engine, on your thread, when a sweep has ended. The view is valid until this returns.
    public void SweepEnded(in SweepView sweep)
    {
        if (!sweep.Info.Complete) return;
        _values.Read(sweep.Verticals[0], new ValueChoice(Detector.Peak, ValueUnit.Level), _levels);
        int top = Array.IndexOf(_levels, _levels.Max()); // columns without scans are NaN, which Max passes over unless all are
        double hertz = setup.Axis!.ValueAt(sweep.Axis.CentreOf(top));
        output.WriteLine($"sweep {sweep.Info.Number}: {_levels[top]:0.0} dB at {hertz / 1000:0.0} kHz, {sweep.Info.ScansInColumns} scans");
    }

    public static void Run(string recordingName, TextWriter output)
    {
        Setup setup = new()
        {
            Scan = new() { Bits = 12, ScanRateHz = 100_000 },  // channel 0 is the ramp, channel 1 the vertical
            RampVolts = new(-5.5m, 5.5m),                      // at code 0 and at full code
            Verticals = [new() { Volts = new(0.1m, -1.1m), Level = [new(0, -100), new(-1, 0)] }],
            Axis = new(5_000, 55_000),                         // hertz at the start and at the end of the sweep
            Columns = new() { ColumnCount = 500, SkewScans = 0.5 },
        };

        using RecordingReader recording = RecordingReader.Open(recordingName, new() { Bits = 12 });
        SweepEngine engine = new(setup, new HighestLevels(setup, output)); // takes all the memory that it will ever need
        ushort[] scans = new ushort[8_192 * recording.ChannelCount];
        while (recording.Read(scans) is { Kind: not RecordingReadKind.End } read)
        {
            if (read.Kind == RecordingReadKind.Gap) engine.Skip(read.LostScans, read.Cause);
            else if (read.Kind == RecordingReadKind.Break) engine.Break(read.Cause);
            else engine.Process(scans.AsSpan(0, read.Scans * recording.ChannelCount));
        }

        engine.Complete();
    }
}
