namespace Acquire.Harness.Inspect.Findings;

/// <summary>Names of findings. Each has its definition, its threshold and the threshold's reason in docs/findings.md.</summary>
internal static class FindingName
{
    public const string AxisMoved = "axis-moved";
    public const string BitsUnused = "bits-unused";
    public const string BlankingFlat = "blanking-flat";
    public const string BlankingFound = "blanking-found";
    public const string Breaks = "breaks";
    public const string ChannelsSwapped = "channels-swapped";
    public const string CodesBeyondBits = "codes-beyond-bits";
    public const string ColumnsWithoutScans = "columns-without-scans";
    public const string DirectionDoubtful = "direction-doubtful";
    public const string EdgesOffRamp = "edges-off-ramp";
    public const string FewScansPerColumn = "few-scans-per-column";
    public const string FlybackRings = "flyback-rings";
    public const string Gaps = "gaps";
    public const string LineLockedSweep = "line-locked-sweep";
    public const string LinkDamaged = "link-damaged";
    public const string LinkNoFrames = "link-no-frames";
    public const string LinkRepeats = "link-repeats";
    public const string LinkResets = "link-resets";
    public const string LinkTotalDiffers = "link-total-differs";
    public const string LinkUnknown = "link-unknown";
    public const string ManualSuggested = "manual-suggested";
    public const string NoCompleteSweep = "no-complete-sweep";
    public const string NotANumber = "not-a-number";
    public const string RampAbsent = "ramp-absent";
    public const string RampBowed = "ramp-bowed";
    public const string RampCarriesVertical = "ramp-carries-vertical";
    public const string RampClipped = "ramp-clipped";
    public const string RampDroops = "ramp-droops";
    public const string RampFalls = "ramp-falls";
    public const string RampFollowsVertical = "ramp-follows-vertical";
    public const string RampIsHum = "ramp-is-hum";
    public const string RampNoisy = "ramp-noisy";
    public const string RampRipple = "ramp-ripple";
    public const string RampSpikes = "ramp-spikes";
    public const string RampStaircase = "ramp-staircase";
    public const string RampTooSmall = "ramp-too-small";
    public const string RecordingTruncated = "recording-truncated";
    public const string ScanRateUnknown = "scan-rate-unknown";
    public const string SweepTimeVaries = "sweep-time-varies";
    public const string SweepsAborted = "sweeps-aborted";
    public const string SweepsPause = "sweeps-pause";
    public const string VerticalClipped = "vertical-clipped";
    public const string VerticalFlat = "vertical-flat";
    public const string VerticalFollowsFlyback = "vertical-follows-flyback";
    public const string VerticalHum = "vertical-hum";

    /// <summary>Every name.</summary>
    public static IReadOnlyList<string> All { get; } =
    [
        AxisMoved, BitsUnused, BlankingFlat, BlankingFound, Breaks, ChannelsSwapped, CodesBeyondBits, ColumnsWithoutScans, DirectionDoubtful, EdgesOffRamp,
        FewScansPerColumn, FlybackRings, Gaps, LineLockedSweep, LinkDamaged, LinkNoFrames, LinkRepeats, LinkResets, LinkTotalDiffers, LinkUnknown, ManualSuggested, NoCompleteSweep, NotANumber, RampAbsent, RampBowed, RampCarriesVertical, RampClipped,
        RampDroops, RampFalls, RampFollowsVertical, RampIsHum, RampNoisy, RampRipple, RampSpikes, RampStaircase, RampTooSmall, RecordingTruncated, ScanRateUnknown,
        SweepTimeVaries, SweepsAborted, SweepsPause, VerticalClipped, VerticalFlat, VerticalFollowsFlyback, VerticalHum,
    ];
}
