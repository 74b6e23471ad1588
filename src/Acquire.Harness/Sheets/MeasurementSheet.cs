using Acquire.Harness.Measuring;
using Acquire.Imaging;
using Acquire.Imaging.Charts;
using Acquire.Traces;

namespace Acquire.Harness.Sheets;

/// <summary>The chart sheet of a measurement.</summary>
internal static class MeasurementSheet
{
    /// <summary>Describes the sheet.</summary>
    /// <param name="measurement">What came out.</param>
    /// <param name="setup">Setup of the run.</param>
    /// <param name="vertical">0 is the first vertical.</param>
    /// <param name="facts">What the title block says beside the setup.</param>
    public static SheetDefinition Of(Measurement measurement, Setup setup, int vertical, SheetFacts facts)
    {
        List<SheetEntry> settings = TitleBlocks.SettingsOf(setup, vertical);
        settings.Add(new SheetEntry("Sweeps", measurement.SweepsUsed == 1 ? "1" : $"average of {measurement.SweepsUsed}"));
        if (facts.Reference is { } reference) settings.Add(new SheetEntry("Reference", $"{reference}, average of {measurement.ReferenceSweepsUsed}"));
        if (measurement.ReferenceOffsetDb != 0) settings.Add(new SheetEntry("Reference offset", TitleBlocks.Quantity(measurement.ReferenceOffsetDb, "dB")));
        return new SheetDefinition
        {
            Chart = new TraceChart
            {
                Positions = measurement.Positions,
                XUnit = measurement.Axis?.Unit ?? "%",
                YUnit = measurement.Unit,
                YName = facts.Reference is null ? null : measurement.Unit is "dB" ? "Level against reference" : "Voltage against reference",
                Law = TitleBlocks.LawOf(setup.VerticalScaleOf(vertical)),
                Values = measurement.Values,
                Lowest = measurement.Lowest,
                Highest = measurement.Highest,
                Trusted = measurement.Trusted,
                AtOrBelow = measurement.AtOrBelow,
                Markers = [.. measurement.Markers.Where(marker => marker.Reading.IsFound).Select(marker => new ChartMarker
                {
                    Name = marker.Name, Position = marker.Reading.Position, Value = marker.Reading.Value,
                    Note = marker.Asked is "peak" or "minimum" ? marker.Asked : null,
                })],
                Bandwidths = [.. measurement.Bandwidths.Where(width => width.IsFound).Select(width => new ChartBandwidth
                {
                    Kind = width.Kind == BandwidthKind.Notch ? "notch" : "peak", LevelDb = width.LevelDb, Lower = width.Lower, Upper = width.Upper,
                })],
            },
            TitleBlock = facts.TitleWith(settings) with
            {
                SweepNumber = measurement.LastSweepNumber,
                SweepTimeSeconds = measurement.SweepTimeSeconds,
                Detector = measurement.Detector,
                Domain = measurement.Domain,
                Placement = measurement.Placement,
                ScansPerColumn = TitleBlocks.ScansPerColumn(measurement.Counts),
            },
        };
    }
}
