using Acquire.Harness.Measuring;
using Acquire.Harness.Output;
using Acquire.Harness.Runs;
using Acquire.Imaging;
using Acquire.Imaging.Charts;
using Acquire.Traces;

namespace Acquire.Harness.Sheets;

/// <summary>The chart sheet of a trace as it stands while a sweep is under way.</summary>
internal static class PartialSheet
{
    /// <summary>Describes the sheet.</summary>
    /// <param name="trace">The trace as it stands.</param>
    /// <param name="vertical">Whose trace it is; 0 is the first vertical.</param>
    /// <param name="engine">The engine that it belongs to.</param>
    /// <param name="reading">How the vertical is read.</param>
    /// <param name="choice">Detector, unit and domain.</param>
    /// <param name="floor">The floor, or null where nobody knows it.</param>
    /// <param name="facts">What the title block says beside the setup.</param>
    public static SheetDefinition Of(Trace trace, int vertical, SweepEngine engine, VerticalReading reading, ValueChoice choice, TraceFloor? floor, SheetFacts facts)
    {
        Setup setup = engine.Setup;
        double[] values = new double[trace.ColumnCount];
        reading.Values.Read(trace.Columns, choice, values);
        ReadingDoubts[] doubts = MeasurementBuilder.DoubtsOf(trace, values, TakenTrace.ConditionsOf(setup, reading, choice, engine.Axis), reading, floor);

        // Between two sweeps, and before a ramp is known, the last one drawn is what the sheet is of.
        long shown = trace.SweepNumber;
        for (int column = 0; trace.SweepNumber < 0 && column < values.Length; column++) shown = Math.Max(shown, trace.SweepNumbers[column]);
        bool[] fresh = [.. Enumerable.Range(0, values.Length).Select(column => shown >= 0 && trace.SweepNumbers[column] == shown)];
        long newest = -1, newestOlder = -1;
        for (int column = 0; column < values.Length; column++)
        {
            newest = Math.Max(newest, trace.Ages[column]);
            if (!fresh[column]) newestOlder = Math.Max(newestOlder, trace.Ages[column]);
        }

        return new SheetDefinition
        {
            Chart = new TraceChart
            {
                Positions = [.. Enumerable.Range(0, values.Length).Select(column => Positions.Of(setup.Axis, engine.Axis, column))],
                XUnit = setup.Axis?.Unit ?? "%",
                YUnit = reading.UnitName,
                Law = TitleBlocks.LawOf(reading.Values.Converter.Scale),
                Values = [.. values.Select((value, column) => fresh[column] ? value : double.NaN)],
                OlderValues = newestOlder < 0 ? null : [.. values.Select((value, column) => fresh[column] ? double.NaN : value)],
                FrontColumn = trace.Front >= 0 ? trace.Front : null,
                FrontMovesDown = trace.FrontMovesDown,
                OlderAgeSeconds = newestOlder < 0 ? null : (newest - newestOlder) / setup.Scan.ScanRateHz,
                TraceName = trace.SweepNumber >= 0 ? "sweep under way" : "last sweep",
                Trusted = MeasurementBuilder.TrustedOf(doubts, values),
                AtOrBelow = floor is null ? null : MeasurementBuilder.AtOrBelowOf(doubts),
            },
            TitleBlock = facts.TitleWith(TitleBlocks.SettingsOf(setup, vertical)) with
            {
                SweepNumber = shown < 0 ? null : shown,
                Detector = WordNames.Of(choice.Detector),
                Domain = WordNames.DomainOf(choice, reading.Values.Converter),
                Placement = WordNames.Of(setup.Columns.Placement),
                ScansPerColumn = TitleBlocks.ScansPerColumn(trace.Columns.Counts),
            },
        };
    }
}
