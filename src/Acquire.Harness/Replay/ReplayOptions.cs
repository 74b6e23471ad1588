using System.CommandLine;
using Acquire.Columns;
using Acquire.Harness.Options;
using Acquire.Harness.Shell;
using Acquire.Imaging;
using Acquire.Scales;

namespace Acquire.Harness.Replay;

/// <summary>The options of <c>replay</c> beside those of the setup.</summary>
internal sealed class ReplayOptions
{
    private readonly Argument<string> _recording = new("RECORDING") { Description = "NAME, NAME.sigmf-meta, NAME.sigmf-data or NAME.wav." };
    private readonly Option<string?> _jsonLines = Output("--jsonl", "One line of JSON per sweep and vertical; - or no file is standard output.", mayLackFile: true);
    private readonly Option<string?> _json = Output("--json", "The measurement as JSON; - or no file is standard output.", mayLackFile: true);
    private readonly Option<string?> _csv = Output("--csv", "The columns as comma-separated values.");
    private readonly Option<string?> _png = Output("--png", "A chart sheet as PNG.");
    private readonly Option<string?> _svg = Output("--svg", "A chart sheet as SVG.");
    private readonly Option<string?> _historyPng = Output("--history-png", "The history as a waterfall, PNG.");
    private readonly Option<string?> _historySvg = Output("--history-svg", "The history as a waterfall, SVG.");
    private readonly Option<string?> _comparePng = Output("--compare-png", "Both traces over one axis and their difference below, PNG; needs --reference.");
    private readonly Option<string?> _compareSvg = Output("--compare-svg", "The same as SVG.");
    private readonly Option<string?> _wav = Output("--wav", "The scans as a WAV file, with the setup beside it.");
    private readonly Option<string?> _sheet = Text("--sheet", "light|dark", "Ground of sheets; default light, for paper.");
    private readonly Option<string?> _size = Text("--size", "WIDTHxHEIGHT|a4|a3", "Size of sheets in pixels, or paper at 300 dpi; default 1600x1000.");
    private readonly Option<string?> _vertical = Text("--vertical", "N", "Channel of the vertical that is measured and drawn, where there are several; default the first.");
    private readonly Option<string?> _title = Text("--title", "TEXT", "Title of sheets; default what they show.");
    private readonly Option<string?> _partialAt = Text("--partial-at", "SCAN", "Stop at this scan: files and sheets show the picture as it stood there.");
    private readonly Option<string?> _sweep = Text("--sweep", "N|last|all", "Which sweep, counted from 0; default last: the last complete one.");
    private readonly Option<string?> _average = Text("--average", "N", "Average the last N complete sweeps; default 1.");
    private readonly Option<string?> _reference = Text("--reference", "RECORDING", "Subtract this recording's trace, taken and averaged likewise.");
    private readonly Option<string?> _referenceOffset = Text("--reference-offset", "DB", "Allow a reference that was taken with other settings: by so much would it be higher with these.");
    private readonly Option<string[]> _marker = new("--marker")
    {
        HelpName = "POSITION|peak|minimum",
        Description = "Place a marker, such as 24kHz; may be given several times.",
        Arity = ArgumentArity.OneOrMore,
    };

    private readonly Option<string[]> _bandwidth = new("--bandwidth")
    {
        HelpName = "DB",
        Description = "Width of the deepest notch or highest peak at this level, such as -3.01; may be given several times.",
        Arity = ArgumentArity.OneOrMore,
    };

    private readonly Option<string?> _shoulder = Text("--shoulder", "DB", "Level from which a notch's depth counts; default 0 dB with --reference, else the median of the outer tenths.");
    private readonly Option<string?> _detector = Text("--detector", "NAME", "peak, minimum, average, rms, sample, average-level, average-voltage or average-power; default average.");
    private readonly Option<string?> _unit = Text("--unit", "code|V|level", "Unit of values; default the best that the setup has.");
    private readonly Option<string?> _floor = Text("--floor", "LEVEL|RECORDING", "The instrument's floor: readings near it are marked as not trusted.");
    private readonly Option<string?> _pace = Text("--pace", "TIMES", "Times real time; default as fast as it goes.");

    /// <summary>Adds everything to the verb.</summary>
    /// <param name="command">The verb.</param>
    public void AddTo(Command command)
    {
        command.Arguments.Add(_recording);
        foreach (Option option in (Option[])
        [
            _json, _jsonLines, _csv, _png, _svg, _historyPng, _historySvg, _comparePng, _compareSvg, _title, _sheet, _size, _wav, _vertical, _sweep, _partialAt, _average, _reference, _referenceOffset, _floor, _marker, _bandwidth, _shoulder,
            _detector, _unit, _pace,
        ])
        {
            command.Options.Add(option);
        }
    }

    /// <summary>Reads and checks the command line.</summary>
    /// <param name="parsed">The command line.</param>
    /// <exception cref="CommandFailure">A value is out of its range or contradicts another.</exception>
    public ReplayChoices Read(ParseResult parsed)
    {
        (Detector detector, AveragingDomain? domain) = OptionText.Detector(_detector.Name, parsed.GetValue(_detector) ?? "average");
        string? sweep = parsed.GetValue(_sweep);
        string? floor = parsed.GetValue(_floor);
        double? floorDb = floor is not null && OptionText.TryLevel(floor, out double level) ? level : null;
        if (floor is not null && floorDb is null && OptionText.IsBareNumber(floor))
            throw CommandFailure.Usage(_floor.Name, $"'{floor}' has no unit; write a level such as -90dB, or name a recording");
        ReplayChoices choices = new()
        {
            Recording = parsed.GetRequiredValue(_recording),
            JsonLines = File(parsed, _jsonLines),
            Json = File(parsed, _json),
            Csv = File(parsed, _csv),
            Png = File(parsed, _png),
            Svg = File(parsed, _svg),
            HistoryPng = File(parsed, _historyPng),
            HistorySvg = File(parsed, _historySvg),
            ComparePng = File(parsed, _comparePng),
            CompareSvg = File(parsed, _compareSvg),
            Wav = parsed.GetValue(_wav),
            Title = parsed.GetValue(_title),
            Style = SheetOptionText.Style(_sheet.Name, parsed.GetValue(_sheet) ?? "light"),
            Size = parsed.GetValue(_size) is { } size ? SheetOptionText.Size(_size.Name, size) : SheetSize.Page,
            VerticalChannel = parsed.GetValue(_vertical) is { } vertical ? OptionText.Whole(_vertical.Name, vertical, 0, int.MaxValue) : null,
            PartialAt = parsed.GetValue(_partialAt) is { } partialAt ? OptionText.Index(_partialAt.Name, partialAt) : null,
            AllSweeps = sweep is "all",
            SweepNumber = sweep is null or "all" or "last" ? null : OptionText.Index(_sweep.Name, sweep),
            Pace = parsed.GetValue(_pace) is { } pace ? OptionText.Number(_pace.Name, pace, 1e-6, 1e9) : null,
            Average = parsed.GetValue(_average) is { } average ? OptionText.Whole(_average.Name, average, 1, 100_000) : 1,
            ReferenceOffsetDb = parsed.GetValue(_referenceOffset) is { } offset ? OptionText.Decibels(_referenceOffset.Name, offset) : null,
            Reference = parsed.GetValue(_reference),
            Markers = parsed.GetValue(_marker) ?? [],
            BandwidthsDb = [.. (parsed.GetValue(_bandwidth) ?? []).Select(text => OptionText.Decibels(_bandwidth.Name, text))],
            ShoulderDb = parsed.GetValue(_shoulder) is { } shoulder ? OptionText.Decibels(_shoulder.Name, shoulder) : null,
            Detector = detector,
            Domain = domain,
            Unit = parsed.GetValue(_unit) switch
            {
                null => null,
                "code" => ValueUnit.Code,
                "V" => ValueUnit.Volts,
                "level" => ValueUnit.Level,
                { } other => throw OptionText.NotOneOf(_unit.Name, other, "code, V or level"),
            },
            FloorDb = floorDb,
            FloorRecording = floorDb is null ? floor : null,
        };
        Check(choices);
        return choices;
    }

    private static void Check(ReplayChoices choices)
    {
        if (choices.SweepNumber is not null && choices.Average > 1)
            throw CommandFailure.Usage("--average", "one sweep is asked for with --sweep, and an average needs several; leave one of the two away");
        if (choices.AllSweeps && choices.WantsMeasurement)
            throw CommandFailure.Usage("--sweep all", "a measurement is of one sweep or of an average; leave --sweep away, or --json, --average, --reference, --marker and --bandwidth");
        if (choices.AllSweeps && (choices.Png ?? choices.Svg) is not null)
            throw CommandFailure.Usage("--sweep all", "a chart sheet shows one sweep; give --sweep N, or --history-png for all sweeps in one picture");
        if (choices.PartialAt is not null && (choices.WantsMeasurement || choices.AllSweeps || choices.SweepNumber is not null))
            throw CommandFailure.Usage("--partial-at", "the picture under way is no measurement; leave --json, --sweep, --average, --reference, --marker and --bandwidth away");
        if (choices.WantsComparison && choices.Reference is null)
            throw CommandFailure.Usage(choices.ComparePng is null ? "--compare-svg" : "--compare-png", "there is nothing to compare with; add --reference RECORDING");
        if (choices.Wav is OutputFile.Standard)
            throw CommandFailure.Usage("--wav", "the sizes in a WAV file are filled in at its end, so it cannot go to standard output; give a file");
        if (choices.ReferenceOffsetDb is not null && choices.Reference is null)
            throw CommandFailure.Usage("--reference-offset", "it is about a reference; add --reference RECORDING");
        if (choices.ShoulderDb is not null && choices.BandwidthsDb.Count == 0)
            throw CommandFailure.Usage("--shoulder", "it says from where --bandwidth counts; add --bandwidth");
    }

    private static string? File(ParseResult parsed, Option<string?> option) =>
        parsed.GetResult(option) is null ? null : parsed.GetValue(option) ?? OutputFile.Standard;

    private static Option<string?> Output(string name, string description, bool mayLackFile = false) => new(name)
    {
        HelpName = "FILE",
        Description = description,
        Arity = mayLackFile ? ArgumentArity.ZeroOrOne : ArgumentArity.ExactlyOne,
    };

    private static Option<string?> Text(string name, string form, string description) =>
        new(name) { HelpName = form, Description = description };
}
