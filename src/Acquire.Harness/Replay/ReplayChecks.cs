using System.Globalization;
using Acquire.Harness.Measuring;
using Acquire.Harness.Output;
using Acquire.Harness.Runs;
using Acquire.Harness.Shell;
using Acquire.Scales;
using Acquire.Traces;

namespace Acquire.Harness.Replay;

/// <summary>Refuses before the run what could not be done after it.</summary>
internal static class ReplayChecks
{
    /// <summary>Checks what was asked for against the setup.</summary>
    /// <param name="choices">What was asked for.</param>
    /// <param name="setup">Setup of the run.</param>
    /// <param name="reading">The vertical that is measured.</param>
    /// <exception cref="CommandFailure">A scale is missing; the line names the option that gives it.</exception>
    public static void Check(ReplayChoices choices, Setup setup, VerticalReading reading)
    {
        if (choices.Pace is not null && setup.Scan.ScanRateHz is null)
            throw CommandFailure.Usage("--pace", "the recording does not say how many scans a second were taken; leave --pace away");
        ValueChoice choice = new(choices.Detector, reading.Unit, VerticalReading.DomainFor(choices.Detector, choices.Domain));
        if (choice.Domain is { } domain && reading.Values.Check(choice) != ValueAvailability.Available)
        {
            // Units are seen to by now, and the domain's sum is kept for the run: a domain that has no value in the unit is left.
            throw CommandFailure.Usage(
                "--detector", $"an average of {WordNames.Of(domain)} has no value in the unit {reading.UnitName}; "
                + $"{(reading.Values.Converter.HasLevel ? "leave --unit away" : "add --level (and --vertical-volts)")}, or ask for average");
        }

        if (setup.Axis is { } axis) CheckAxis(axis, setup.Columns.ColumnCount);
        MarkerPlacement.Check(choices.Markers, setup.Axis);
        if (choices.BandwidthsDb.Count > 0)
        {
            const string option = "--bandwidth";
            foreach (double level in choices.BandwidthsDb)
                if (!(level < 0)) throw CommandFailure.Usage(option, $"{level} dB is not below the top or the shoulder; give a level below 0, such as -3.01");
            if (reading.Unit != ValueUnit.Level)
                throw CommandFailure.Usage(option, "a width at a level needs levels; add --level (and --vertical-volts), or leave --unit away");
            if (setup.Axis is null)
                throw CommandFailure.Usage(option, "a width needs a sweep axis; add --axis START,END");
        }

        if ((choices.FloorDb is not null || choices.FloorRecording is not null) && reading.Unit != ValueUnit.Level)
            throw CommandFailure.Usage("--floor", "a floor needs levels; add --level (and --vertical-volts), or leave --unit away");
    }

    // Numbers of 64 bits have some 16 digits: at 100 GHz columns a few microhertz apart are one and the same.
    private static void CheckAxis(SweepAxis axis, int columns)
    {
        double way = axis.End - axis.Start, before = axis.ValueAt(0.5 / columns);
        for (int column = 1; column < columns; column++)
        {
            double next = axis.ValueAt((column + 0.5) / columns);
            if (!((next - before) * way > 0))
            {
                throw CommandFailure.Usage("--axis", $"from {axis.Start.ToString("R", CultureInfo.InvariantCulture)} to {axis.End.ToString("R", CultureInfo.InvariantCulture)} {axis.Unit} there are not {columns} values that can be told apart; "
                    + "give a wider axis or fewer --columns");
            }

            before = next;
        }
    }
}
