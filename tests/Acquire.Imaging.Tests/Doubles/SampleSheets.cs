using Acquire.Imaging.Charts;

namespace Acquire.Imaging.Tests.Doubles;

/// <summary>Charts of a made-up bench: a band-stop filter swept from 5 to 55 kHz.</summary>
internal static class SampleSheets
{
    public static double[] Positions(int columns = 1_000) => [.. Enumerable.Range(0, columns).Select(i => 5_000 + (50_000 * (i + 0.5) / columns))];

    /// <summary>Response of a third-order Butterworth band-stop around 25 kHz, 10 kHz wide, above a floor, with noise that repeats.</summary>
    public static double BandStop(double hertz, int seed = 0)
    {
        double ratio = 10_000 * hertz / ((hertz * hertz) - (25_000.0 * 25_000));
        double power = 1 / (1 + Math.Pow(ratio, 6));
        double noise = 0.12 * Math.Sin((hertz * 0.0137) + seed) * Math.Cos((hertz * 0.0071) + (seed * 3));
        return (10 * Math.Log10(power + 2e-8)) + noise;
    }

    public static double[] Values(double[] positions, int seed = 0) => [.. positions.Select(f => BandStop(f, seed))];

    public static TitleBlock Block() => new()
    {
        Title = "Band-stop filter 25 kHz",
        Supplement = "normalised against the through connection",
        Identification = "BS-25-07",
        Date = new DateOnly(2025, 3, 14),
        SheetNumber = 1,
        SheetCount = 3,
        Creator = "Bench 2",
        Source = "recording bandstop-07",
        SweepNumber = 12,
        SweepTimeSeconds = 0.40023,
        Detector = "average",
        Domain = "power",
        Placement = "fitted",
        ScansPerColumn = "38 to 42",
        Lost = "nothing",
        Settings =
        [
            new SheetEntry("Centre", "30 kHz"), new SheetEntry("Span", "50 kHz"), new SheetEntry("Resolution bandwidth", "300 Hz"), new SheetEntry("Video bandwidth", null),
            new SheetEntry("Reference level", "0 dB"), new SheetEntry("Attenuation", "10 dB"), new SheetEntry("Averages", "4 of 4, block"), new SheetEntry("Reference", "through-03, same settings"),
        ],
    };

    public static TraceChart Trace()
    {
        double[] positions = Positions(), values = Values(positions);
        return new TraceChart
        {
            Positions = positions,
            Values = values,
            Law = "logarithmic",
            Lowest = [.. values.Select((v, i) => v - 0.6 - (0.02 * Math.Abs(v)) - (0.3 * Math.Abs(Math.Sin(i * 0.9))))],
            Highest = [.. values.Select((v, i) => v + 0.6 + (0.02 * Math.Abs(v)) + (0.3 * Math.Abs(Math.Cos(i * 0.7))))],
            Trusted = [.. values.Select(v => v > -62)],
            AtOrBelow = [.. values.Select(v => v < -74)],
            Markers =
            [
                new ChartMarker { Name = "A", Position = 24_987, Value = BandStop(24_987), Note = "deepest" },
                new ChartMarker { Name = "B", Position = 20_495, Value = BandStop(20_495), Note = "lower edge" },
                new ChartMarker { Name = "C", Position = 30_495, Value = BandStop(30_495), Note = "upper edge" },
                new ChartMarker { Name = "D", Position = 45_000, Value = BandStop(45_000) },
            ],
            Bandwidths = [new ChartBandwidth { Kind = "notch", LevelDb = -3.01, Lower = 20_495, Upper = 30_495, Centre = 25_000 }],
        };
    }

    public static TraceChart Partial(int front = 430)
    {
        double[] positions = Positions();
        return new TraceChart
        {
            Positions = positions,
            Values = [.. Values(positions).Select((v, i) => i < front ? v : double.NaN)],
            OlderValues = Values([.. positions.Select(p => p - 350)], 1),
            FrontColumn = front,
            OlderAgeSeconds = 0.4402,
            Reference = [.. positions.Select(p => 1.5 * Math.Sin(p / 9_000))],
            ReferenceName = "through-03",
            Law = "logarithmic",
        };
    }

    public static IReadOnlyList<string> ChartNames => ["trace", "partial", "crowd", "peak", "codes", "history", "comparison"];

    public static Chart Chart(string name) => name switch
    {
        "trace" => Trace(),
        "partial" => Partial(),
        "crowd" => Crowd(),
        "peak" => Peak(),
        "codes" => Codes(),
        "history" => History(),
        "comparison" => Comparison(),
        _ => throw new ArgumentOutOfRangeException(nameof(name), name, "No such sample."),
    };

    /// <summary>A carrier with sidebands over a noise floor, few columns, some unfilled, some bridged, a floor that is "at or below".</summary>
    public static TraceChart Peak()
    {
        double[] positions = [.. Enumerable.Range(0, 240).Select(i => 99.99e6 + (20e3 * (i + 0.5) / 240))];
        double[] values = [.. positions.Select((p, i) => 10 * Math.Log10(
            Line(p, 100e6, -20) + Line(p, 100.0035e6, -61) + Line(p, 99.9965e6, -60) + Math.Pow(10, (-88 + (3 * Math.Sin(i * 12.9898))) / 10)))];
        bool[] bridged = new bool[values.Length];
        for (int i = 40; i < 48; i++) bridged[i] = true;
        for (int i = 190; i < 204; i++) values[i] = double.NaN;
        values[197] = -86;
        return new TraceChart
        {
            Positions = positions,
            Values = values,
            YUnit = "dBm",
            Law = "logarithmic",
            Bridged = bridged,
            Trusted = [.. values.Select(v => v > -78)],
            AtOrBelow = [.. values.Select(v => v < -85)],
            Markers =
            [
                new ChartMarker { Name = "carrier", Position = 100e6, Value = -20, Note = "peak" },
                new ChartMarker { Name = "upper", Position = 100.0035e6, Value = values[162], Note = "−41 dB to the carrier" },
                new ChartMarker { Name = "gap", Position = positions[195], Value = double.NaN },
            ],
            Bandwidths =
            [
                new ChartBandwidth { Kind = "peak", LevelDb = -3.01, Lower = 99.9997e6, Upper = 100.0003e6 },
                new ChartBandwidth { Kind = "peak", LevelDb = -30, Lower = 99.9989e6, Upper = 100.0011e6 },
            ],
        };

        static double Line(double hertz, double centre, double level) => Math.Pow(10, (level - (3.01 * Math.Pow((hertz - centre) / 300, 2))) / 10);
    }

    /// <summary>Raw codes over the ramp in per cent, on a falling ramp, with an older trace where columns were not reached.</summary>
    public static TraceChart Codes()
    {
        double[] positions = [.. Enumerable.Range(0, 500).Select(i => 100 - ((i + 0.5) / 5))];
        double[] codes = [.. positions.Select((p, i) => 900 + (2_600 * Math.Exp(-Math.Pow((p - 62) / 9, 2))) + (30 * Math.Sin(i * 3.7)))];
        return new TraceChart
        {
            Positions = positions,
            Values = [.. codes.Select((c, i) => i < 320 ? c : double.NaN)],
            OlderValues = [.. codes.Select(c => c - 60)],
            FrontColumn = 320,
            XUnit = "%",
            YUnit = "code",
            YRange = new ChartRange(0, 4_095),
        };
    }

    /// <summary>120 sweeps of a carrier that drifts and fades; some are missing, one has unfilled columns, the settings change twice.</summary>
    public static HistoryChart History()
    {
        double[] positions = [.. Enumerable.Range(0, 800).Select(i => 99.99e6 + (20e3 * (i + 0.5) / 800))];
        var rows = new List<double[]>();
        var seconds = new List<double>();
        for (int r = 0; r < 120; r++)
        {
            double carrier = 99.998e6 + (4_000 * Math.Sin(r * 0.05)), strength = -22 - (18 * Math.Pow(Math.Sin(r * 0.13), 2));
            double[] row = new double[positions.Length];
            for (int i = 0; i < row.Length; i++)
            {
                double away = (positions[i] - carrier) / 350, noise = 3 * (Math.Sin((i * 12.9898) + (r * 78.233)) + Math.Sin((i * 3.1) + (r * 7.7)));
                double image = (positions[i] - 100.004e6) / 200;
                row[i] = 10 * Math.Log10(Math.Pow(10, (strength - (3 * away * away)) / 10) + Math.Pow(10, (-58 - (3 * image * image)) / 10) + Math.Pow(10, (-84 + noise) / 10));
                if (r == 60 && i > 500) row[i] = double.NaN;
            }

            rows.Add(row);
            seconds.Add((r * 0.44) + 0.44 + (r >= 80 ? 3 : 0));
        }

        return new HistoryChart
        {
            Positions = positions,
            Rows = rows,
            RowSeconds = [.. seconds],
            YUnit = "dBm",
            Law = "logarithmic",
            Sections = [new HistorySection(40, "Resolution bandwidth 300 Hz"), new HistorySection(42, "Attenuation 20 dB"), new HistorySection(80, "after the link was lost")],
        };
    }

    /// <summary>The filter before and after a repair.</summary>
    public static ComparisonChart Comparison()
    {
        double[] positions = Positions();
        return new ComparisonChart
        {
            Positions = positions,
            First = Values(positions),
            FirstName = "after the repair",
            Second = [.. positions.Select(p => BandStop(p - 400, 2) - 0.8 - (2 * Math.Exp(-Math.Pow((p - 42_000) / 3_000, 2))))],
            SecondName = "before the repair",
            Law = "logarithmic",
            Markers = [new ChartMarker { Name = "A", Position = 42_000, Value = BandStop(42_000) }],
        };
    }

    /// <summary>Fourteen markers, some close together, on a trace that is noisy, in volts over time.</summary>
    public static TraceChart Crowd()
    {
        double[] seconds = [.. Enumerable.Range(0, 700).Select(i => (i + 0.5) * 20e-6)];
        double[] volts = [.. seconds.Select((t, i) => (0.4 * Math.Sin(t * 1_800)) + (0.12 * Math.Sin(i * 2.1)) + (0.05 * Math.Cos(i * 0.37)))];
        return new TraceChart
        {
            Positions = seconds,
            Values = volts,
            XUnit = "s",
            YUnit = "V",
            Law = "logarithmic",
            Markers = [.. Enumerable.Range(0, 14).Select(i => (i * 37) + (i % 3 * 4) + 60).Select((c, i) => new ChartMarker { Name = $"{(char)('A' + i)}{(i > 9 ? "1" : "")}", Position = seconds[c], Value = volts[c] })],
        };
    }

    /// <summary>A sheet with few, usual, long or many words in its title block.</summary>
    public static SheetDefinition Vary(Chart chart, string labels) => labels switch
    {
        "bare" => new SheetDefinition { Chart = chart, TitleBlock = new TitleBlock { Title = "Untitled" } },
        "usual" => Sheet(chart),
        "long" => new SheetDefinition
        {
            Chart = chart,
            TitleBlock = Block() with
            {
                Title = "Frequency response of the second intermediate-frequency filter after the repair of its input coupling, Ångström bench",
                Supplement = "third attempt, with the cover closed and the supply filtered through the long lead",
                Identification = "WORKSHOP-NORTH/2025/BAND-STOP/0007/REVISION-C",
                LegalOwner = "The repair workshop at the old harbour, second floor",
                Creator = "The evening shift of the measurement room",
                Source = "recording bandstop-with-a-rather-long-name-that-someone-gave-it-2025-03-14T10-22-31, channel 1",
                Lost = "1 500 scans in 2 gaps (link), 1 break of unknown length after a reset of the device",
                ScansPerColumn = "38 to 42, 17 columns of the delay tail unfilled",
                Settings = [.. Block().Settings, new SheetEntry("Remark that the owner wanted to see on the sheet", "ambient 23 °C, warmed up for 45 minutes, input terminated with 50 Ω before and after")],
            },
        },
        "many" => new SheetDefinition
        {
            Chart = chart,
            TitleBlock = Block() with { LegalOwner = "Harbour workshop", Settings = [.. Block().Settings, .. Enumerable.Range(1, 24).Select(i => new SheetEntry($"Setting {i}", $"{i * 7} units"))] },
        },
        _ => throw new ArgumentOutOfRangeException(nameof(labels), labels, "No such labels."),
    };

    public static SheetDefinition Sheet(Chart chart) => new() { Chart = chart, TitleBlock = Block() };
}
