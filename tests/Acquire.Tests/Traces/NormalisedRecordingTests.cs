using System.Runtime.InteropServices;
using Acquire.Capture;
using Acquire.Columns;
using Acquire.Scales;
using Acquire.Traces;

namespace Acquire.Tests.Traces;

/// <summary>Two simulated recordings through the whole walk: a band-stop filter, normalised against a through connection.</summary>
public class NormalisedRecordingTests
{
    private const double F0 = 25_000, B = 10_000;

    // Both recordings: ramp code 0..4095 = -5.5..+5.5 V, ramp -5..+5 V = 5..55 kHz; vertical code 0..4095 = +0.1..-1.1 V,
    // 0 V = -100 dB, -1 V = 0 dB; 100,000 scans a second, the vertical half a scan later; two receiver poles delay by 0.8 ms.
    private static readonly Setup Bench = new()
    {
        Scan = new ScanFormat { ScanRateHz = 100_000 },
        RampVolts = new CodeVolts(-5.5m, 5.5m),
        Sweep = new() { Edges = new(-5m, 5m) },
        Axis = new SweepAxis(5_000, 55_000),
        Verticals = [new VerticalScale { Volts = new CodeVolts(0.1m, -1.1m), Level = [new(0m, -100m), new(-1m, 0m)] }],
        Columns = new ColumnOptions { ColumnCount = 1_000, SkewScans = 0.5, VideoDelaySeconds = 0.0008 },
    };

    private sealed class Averaging(TraceAverage average) : ISweepSink
    {
        public void SweepEnded(in SweepView sweep)
        {
            if (sweep.Info.Complete) average.Take(sweep.Info, sweep.Verticals[0], sweep.Marks);
        }
    }

    private static TraceReference Averaged(string recording)
    {
        var values = new ColumnValues(new VerticalConverter(Bench.VerticalScaleOf(0), Bench.Scan.FullCode));
        var average = new TraceAverage(values, 1_000, new(Detector.Average, ValueUnit.Level), AveragingMode.Block, sweeps: 4);
        var engine = new SweepEngine(Bench, new Averaging(average));
        engine.Process(MemoryMarshal.Cast<byte, ushort>(File.ReadAllBytes(Path.Combine(AppContext.BaseDirectory, "data", recording + ".sigmf-data"))));
        engine.Complete();
        Assert.Equal(4, average.SweepsTaken);
        return TraceReference.Of(average, new TraceConditions
        {
            Choice = average.Choice,
            Scale = Bench.VerticalScaleOf(0),
            FullCode = Bench.Scan.FullCode,
            Axis = engine.Axis,
            RampVolts = Bench.RampVolts,
            SweepAxis = Bench.Axis,
            Placement = Bench.Columns.Placement,
            Settings = Bench.Settings,
        });
    }

    // Third-order Butterworth band-stop, low-pass to band-stop transform (any filter handbook):
    // -10 log10(1 + (B f / (f^2 - f0^2))^6), f0 = 25 kHz, B = 10 kHz; half power at 20,495.1 and 30,495.1 Hz.
    [Fact]
    public void Apply_BandStopAgainstThrough_FollowsTheClosedForm()
    {
        TraceReference through = Averaged("through"), bandstop = Averaged("bandstop");
        var normaliser = new TraceNormaliser(bandstop.Conditions, through, TraceFloor.Stated(-95));
        double[] values = new double[1_000], positions = [.. Enumerable.Range(0, 1_000).Select(c => Bench.Axis!.ValueAt(bandstop.Conditions.Axis.CentreOf(c)))];
        ReadingDoubts[] doubts = new ReadingDoubts[1_000];

        normaliser.Apply(bandstop.Values, bandstop.Marks, values, doubts);
        BandwidthReading notch = TraceMarkers.NotchBandwidth(positions, values, TraceMarkers.HalfPowerDb, shoulder: 0);
        MarkerReading bottom = TraceMarkers.Lowest(positions, values);

        // Nothing is said of the instrument's settings, so the check can only warn.
        Assert.Equal(ReferenceVerdict.Unsure, normaliser.Check.Verdict);
        // The filter's own group delay shifts both edges by about 10 Hz and the receiver's poles round them; half a column is 25 Hz.
        Assert.Equal(Math.Sqrt((F0 * F0) + (B * B / 4)) - (B / 2), notch.Lower, 25.0);
        Assert.Equal(Math.Sqrt((F0 * F0) + (B * B / 4)) + (B / 2), notch.Upper, 25.0);
        Assert.Equal(B, notch.Width, 25.0);
        Assert.InRange(bottom.Position, 24_500, 25_500);
        Assert.NotEqual(ReadingDoubts.None, doubts[bottom.Column] & ReadingDoubts.NearFloor);
        for (int c = 0; c < 1_000; c++)
        {
            double f = positions[c], closed = -10 * Math.Log10(1 + Math.Pow(B * f / ((f * f) - (F0 * F0)), 6));
            if (doubts[c] != ReadingDoubts.None) continue;
            if (f is < 15_000 or > 37_000) Assert.Equal(0, values[c], 0.1);
            // Where the filter is steep, a shift by half a column is worth more than the noise.
            else if (closed > -20) Assert.Equal(closed, values[c], 0.4);
        }

        int trusted = doubts.Count(d => d == ReadingDoubts.None);
        Assert.InRange(trusted, 900, 999);
    }
}
