using System.Globalization;
using Acquire.Harness.Measuring;
using Acquire.Imaging;
using Acquire.Imaging.Charts;
using Acquire.Traces;

namespace Acquire.Harness.Sheets;

/// <summary>The chart sheet of two recordings over one axis, and their difference below.</summary>
internal static class ComparisonSheet
{
    /// <summary>Describes the sheet.</summary>
    /// <param name="measurement">What came out, less the reference.</param>
    /// <param name="taken">The trace as taken.</param>
    /// <param name="reference">The reference as taken; both have one grid.</param>
    /// <param name="setup">Setup of the run.</param>
    /// <param name="vertical">0 is the first vertical.</param>
    /// <param name="unit">Unit of both traces, as printed.</param>
    /// <param name="facts">What the title block says beside the setup; names the reference.</param>
    public static SheetDefinition Of(
        Measurement measurement, TakenTrace taken, TakenTrace reference, Setup setup, int vertical, string unit, SheetFacts facts)
    {
        SheetDefinition plain = MeasurementSheet.Of(measurement, setup, vertical, facts);
        return plain with
        {
            Chart = new ComparisonChart
            {
                Positions = measurement.Positions,
                XUnit = measurement.Axis?.Unit ?? "%",
                YUnit = unit,
                Law = TitleBlocks.LawOf(setup.VerticalScaleOf(vertical)),
                First = taken.Values,
                FirstName = facts.Source,
                Second = reference.Values,
                SecondName = facts.Reference!,

                // Linear voltages divide when they are normalised; below them stands their plain difference.
                Difference = measurement.Unit is "dB" ? measurement.Values : null,
                Markers = [.. measurement.Markers.Where(marker => marker.Reading.IsFound).Select(marker => new ChartMarker
                {
                    Name = marker.Name,
                    Position = marker.Reading.Position,

                    // A marker is placed on the difference; here it stands on the trace above it.
                    Value = TraceMarkers.ValueAt(measurement.Positions, taken.Values, marker.Reading.Position).Value,
                    Note = TitleBlocks.Minus(NoteOf(marker.Reading.Value, measurement.Unit)),
                })],
            },
        };
    }

    private static string NoteOf(double value, string unit)
    {
        string text = value.ToString("0.00", CultureInfo.InvariantCulture);
        return unit is "dB" ? $"difference {text} dB" : $"{unit} {text}";
    }
}
