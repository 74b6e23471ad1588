using System.Globalization;
using Acquire.Capture;
using Acquire.Harness.Output;
using Acquire.Imaging;
using Acquire.Recordings;
using Acquire.Scales;
using Acquire.Sweeps;

namespace Acquire.Harness.Sheets;

/// <summary>Fills the title block of a sheet from a setup: every setting that is known, in words.</summary>
internal static class TitleBlocks
{
    private static readonly NumberFormatInfo s_spaced = new() { NumberGroupSeparator = "\u202f" };

    /// <summary>The settings of a setup, in the order of printing.</summary>
    /// <param name="setup">Setup of the run.</param>
    /// <param name="vertical">The vertical that the sheet shows.</param>
    public static List<SheetEntry> SettingsOf(Setup setup, int vertical)
    {
        List<SheetEntry> entries = [];
        AddInstrument(entries, setup.Settings, setup.VerticalScaleOf(0).LevelUnit);
        ScanFormat scan = setup.Scan;
        VerticalScale scale = setup.VerticalScaleOf(vertical);
        entries.Add(new SheetEntry("Scan rate", scan.ScanRateHz is { } rate ? $"{Number(rate)} scans/s" : null));
        entries.Add(new SheetEntry("Codes", $"{scan.Bits} bits"));
        entries.Add(new SheetEntry("Sweep axis", setup.Axis is { } axis ? $"{Exactly(axis.Start, axis.Unit)} to {Exactly(axis.End, axis.Unit)}" : null));
        entries.Add(new SheetEntry("Ramp volts", Volts(setup.RampVolts)));
        if (EdgesOf(setup) is { } edges) entries.Add(new SheetEntry("Edges", edges));
        if (scan.VerticalChannels.Count > 1) entries.Add(new SheetEntry("Vertical", $"channel {scan.VerticalChannels[vertical]}"));
        entries.Add(new SheetEntry("Vertical volts", Volts(scale.Volts)));
        entries.Add(new SheetEntry("Level", scale.Level.Count == 0 ? null
            : Minus(string.Join(", ", scale.Level.Select(point => $"{point.Volts} V = {point.LevelDb} {scale.LevelUnit}")))));
        entries.Add(new SheetEntry("Columns", Number(setup.Columns.ColumnCount)));
        entries.Add(new SheetEntry("Skew", $"{Number(setup.Columns.SkewScans)} scans"));
        entries.Add(new SheetEntry("Video delay", Quantity(setup.Columns.VideoDelaySeconds, "s")));
        return entries;
    }

    /// <summary>The law of a vertical, in words; null where nobody said: logarithmic is what holds then, and means nothing without levels.</summary>
    public static string? LawOf(VerticalScale scale) => scale.Law switch
    {
        VerticalLaw.Voltage => "linear in voltage",
        VerticalLaw.Power => "linear in power",
        _ => scale.Level.Count == 0 ? null : "logarithmic",
    };

    /// <summary>Scans per column, lowest to highest of the filled ones.</summary>
    public static string? ScansPerColumn(ReadOnlySpan<long> counts)
    {
        long least = long.MaxValue, most = 0;
        foreach (long count in counts)
        {
            if (count == 0) continue;
            least = Math.Min(least, count);
            most = Math.Max(most, count);
        }

        return most == 0 ? null : least == most ? Number(most) : $"{Number(least)} to {Number(most)}";
    }

    /// <summary>What was lost of a run, in words.</summary>
    public static string LostOf(in Accounting accounting) =>
        (accounting.Lost, accounting.Breaks) switch
        {
            (0, 0) => "nothing",
            (_, 0) => $"{Number(accounting.Lost)} scans",
            (0, _) => $"an unknown number of scans at {BreaksOf(accounting)}",
            _ => $"{Number(accounting.Lost)} scans, and an unknown number at {BreaksOf(accounting)}",
        };

    private static string BreaksOf(in Accounting accounting) => accounting.Breaks == 1 ? "1 break" : $"{Number(accounting.Breaks)} breaks";

    /// <summary>A number with its unit and prefix.</summary>
    public static string Quantity(double value, string unit) =>
        Math.Abs(value) < 1e15 ? Minus(new Quantity(Rounded(value), unit).ToString()) : $"{Number(value)} {unit}";

    // What a person set is filed digit for digit: six of them cannot tell the ends of a narrow span. A decimal takes 15 of a double.
    private static string Exactly(double value, string unit) =>
        Math.Abs(value) < 1e15 ? Minus(new Quantity((decimal)value, unit).ToString()) : $"{Number(value)} {unit}";

    // Six digits: what was worked out is read by a person.
    private static decimal Rounded(double value) => (decimal)double.Parse(value.ToString("G6", CultureInfo.InvariantCulture), CultureInfo.InvariantCulture);

    /// <summary>A text with true minus signs.</summary>
    public static string Minus(string text) => text.Replace('-', '\u2212');

    private static void AddInstrument(List<SheetEntry> entries, InstrumentSettings settings, string levelUnit)
    {
        entries.Add(new SheetEntry("Instrument", settings.Instrument));
        AddIfKnown(entries, "Centre", settings.CentreHz, "Hz");
        AddIfKnown(entries, "Span", settings.SpanHz, "Hz");
        entries.Add(new SheetEntry("Resolution bandwidth", settings.ResolutionBandwidthHz is { } resolution ? Exactly(resolution, "Hz") : null));
        AddIfKnown(entries, "Video bandwidth", settings.VideoBandwidthHz, "Hz");
        AddIfKnown(entries, "Reference level", settings.ReferenceLevelDb, levelUnit);
        AddIfKnown(entries, "Attenuation", settings.AttenuationDb, "dB");
        AddIfKnown(entries, "Sweep time set", settings.SweepTimeSeconds, "s");
        foreach ((string name, string value) in settings.More) entries.Add(new SheetEntry(name, value));
    }

    private static void AddIfKnown(List<SheetEntry> entries, string name, double? value, string unit)
    {
        if (value is { } known) entries.Add(new SheetEntry(name, Exactly(known, unit)));
    }

    // Only a ramp that runs by itself has edges to learn: turned by hand, the converter's range is the screen, and time has no ramp.
    private static string? EdgesOf(Setup setup) => (setup.Sweep.Mode, setup.Sweep.Edges) switch
    {
        (SweepMode.Time, _) => null,
        (_, { } edges) => Minus($"{edges.Low} to {edges.High} {(setup.RampVolts is null ? "codes" : "V")}"),
        (SweepMode.Manual, null) => "the converter's range",
        _ => "learnt",
    };

    private static string? Volts(CodeVolts? volts) => volts is null ? null : Minus($"{volts.AtCodeZero} to {volts.AtFullCode} V");

    // Thousands stand apart from ten thousand on (ISO 80000-1, 7.3.1, from memory); the space does not break.
    private static string Number(double value) => Math.Abs(value) >= 10_000 && value == Math.Floor(value) && Math.Abs(value) < 1e15
        ? value.ToString("N0", s_spaced) : value.ToString("R", CultureInfo.InvariantCulture);
}
