using Acquire.Columns;
using Acquire.Harness.Shell;
using Acquire.Imaging;
using Acquire.Scales;

namespace Acquire.Harness.Replay;

/// <summary>What a replay was asked for, read and checked.</summary>
internal sealed record ReplayChoices
{
    public required string Recording { get; init; }

    public string? JsonLines { get; init; }

    public string? Json { get; init; }

    public string? Csv { get; init; }

    public string? Png { get; init; }

    public string? Svg { get; init; }

    public string? HistoryPng { get; init; }

    public string? HistorySvg { get; init; }

    public string? ComparePng { get; init; }

    public string? CompareSvg { get; init; }

    public string? Wav { get; init; }

    /// <summary>Title of sheets, or null: what they show.</summary>
    public string? Title { get; init; }

    public SheetSize Size { get; init; } = SheetSize.Page;

    public SheetStyle Style { get; init; } = SheetStyle.LightPaper;

    /// <summary>Channel of the vertical that is measured and drawn, or null: the first.</summary>
    public int? VerticalChannel { get; init; }

    /// <summary>Index in the file at which the run stops, or null.</summary>
    public long? PartialAt { get; init; }

    /// <summary>Number of the one sweep wanted, or null.</summary>
    public long? SweepNumber { get; init; }

    /// <summary>Every sweep is wanted.</summary>
    public bool AllSweeps { get; init; }

    /// <summary>Times real time, or null: as fast as it goes.</summary>
    public double? Pace { get; init; }

    /// <summary>How many of the last complete sweeps are averaged; 1 is the last alone.</summary>
    public int Average { get; init; } = 1;

    public string? Reference { get; init; }

    /// <summary>Allows a reference with other settings, with this level offset; null refuses it.</summary>
    public double? ReferenceOffsetDb { get; init; }

    public IReadOnlyList<string> Markers { get; init; } = [];

    public IReadOnlyList<double> BandwidthsDb { get; init; } = [];

    public double? ShoulderDb { get; init; }

    public Detector Detector { get; init; } = Detector.Average;

    /// <summary>Domain of averages, or null: the vertical's own.</summary>
    public AveragingDomain? Domain { get; init; }

    public ValueUnit? Unit { get; init; }

    /// <summary>Level of the floor, or null.</summary>
    public double? FloorDb { get; init; }

    /// <summary>Recording of a terminated input, or null.</summary>
    public string? FloorRecording { get; init; }

    /// <summary>Whether a measurement (average, reference, markers) is asked for rather than plain sweeps.</summary>
    public bool WantsMeasurement => Json is not null || Average > 1 || Reference is not null || Markers.Count > 0 || BandwidthsDb.Count > 0;

    /// <summary>Whether a chart sheet is drawn.</summary>
    public bool WantsSheet => (Png ?? Svg) is not null;

    /// <summary>Whether the history is drawn.</summary>
    public bool WantsHistory => (HistoryPng ?? HistorySvg) is not null;

    /// <summary>Whether the comparison with the reference is drawn.</summary>
    public bool WantsComparison => (ComparePng ?? CompareSvg) is not null;

    /// <summary>Whether something is made of picked sweeps when the run has ended.</summary>
    public bool NeedsPicker => PartialAt is null && !AllSweeps && (WantsMeasurement || (Csv ?? Png ?? Svg) is not null);

    /// <summary>Index among the verticals of the one that is measured and drawn.</summary>
    /// <param name="setup">Setup of the run.</param>
    /// <exception cref="CommandFailure">The channel asked for is no vertical.</exception>
    public int VerticalOf(Setup setup)
    {
        if (VerticalChannel is not { } channel) return 0;
        IReadOnlyList<int> channels = setup.Scan.VerticalChannels;
        for (int vertical = 0; vertical < channels.Count; vertical++)
            if (channels[vertical] == channel) return vertical;
        throw CommandFailure.Usage("--vertical", $"channel {channel} is no vertical; verticals are {string.Join(", ", channels)}; give one of them, or name others with --vertical-channel");
    }

    /// <summary>Detectors whose values are read, and whose sums must therefore be kept.</summary>
    public IEnumerable<Detector> DetectorsRead =>
        JsonLines is not null || Csv is not null ? [Detector, Detector.Average, Detector.Rms] : [Detector];

    /// <summary>The files and streams written, each with the option that asked for it.</summary>
    public IEnumerable<(string Option, string Path)> Outputs =>
        new (string Option, string? Path)[]
        {
            ("--jsonl", JsonLines), ("--json", Json), ("--csv", Csv), ("--png", Png), ("--svg", Svg),
            ("--history-png", HistoryPng), ("--history-svg", HistorySvg), ("--compare-png", ComparePng), ("--compare-svg", CompareSvg),
        }.Where(o => o.Path is not null).Select(o => (o.Option, o.Path!));
}
