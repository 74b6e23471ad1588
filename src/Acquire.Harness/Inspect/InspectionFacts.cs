using Acquire.Columns;
using Acquire.Harness.Inspect.Survey;

namespace Acquire.Harness.Inspect;

/// <summary>Everything that findings are drawn from.</summary>
internal sealed record InspectionFacts
{
    /// <summary>What the file says.</summary>
    public required RecordingFacts Recording { get; init; }

    /// <summary>Setup that the engine ran with.</summary>
    public required Setup Setup { get; init; }

    /// <summary>Scans in the recording.</summary>
    public required long Scans { get; init; }

    /// <summary>Every channel, in order.</summary>
    public required IReadOnlyList<ChannelReport> Channels { get; init; }

    /// <summary>Squared correlation of the ramp's channel with each vertical, scan by scan.</summary>
    public required IReadOnlyList<double> RampLikeVerticals { get; init; }

    /// <summary>What the engine says of the ramp.</summary>
    public required RampReport Ramp { get; init; }

    /// <summary>The axis in force at the end.</summary>
    public required ColumnAxis Axis { get; init; }

    /// <summary>Where every scan went.</summary>
    public required Accounting Accounting { get; init; }

    /// <summary>The sweeps.</summary>
    public required SweepTally Sweeps { get; init; }

    /// <summary>The first gaps and breaks.</summary>
    public required IReadOnlyList<GapRow> Gaps { get; init; }

    /// <summary>Places where a known number of scans is missing.</summary>
    public required long GapCount { get; init; }

    /// <summary>Places where an unknown number of scans is missing.</summary>
    public required long BreakCount { get; init; }

    /// <summary>A closer look at some complete sweeps; null where there is none.</summary>
    public required CloseLook? Close { get; init; }

    /// <summary>What the bytes of the link show; null where the scans did not come over one.</summary>
    public Link.LinkLook? Link { get; init; }

    /// <summary>Survey of the ramp's channel.</summary>
    public ChannelReport RampChannel => Channels[Setup.Scan.RampChannel];

    /// <summary>The full code of the bits that are used: that of the setup, or less where no channel ever comes above half of it.</summary>
    /// <remarks>A file has no word of 12 bits, so a foreign recording passes for 16 bits; what is small must be measured by what the converter can give.</remarks>
    public int UsedFullCode
    {
        get
        {
            int top = Channels.Max(c => c.HighestOfAll);
            return Math.Min(Setup.Scan.FullCode, top < 1 ? int.MaxValue : (1 << (32 - int.LeadingZeroCount(top))) - 1);
        }
    }

    /// <summary>From end to end of the ramp in codes: as the engine says, or as the survey says where the engine found none.</summary>
    public double RampExcursionCodes => Ramp.Present && Ramp.HighCode > Ramp.LowCode ? Ramp.HighCode - Ramp.LowCode : RampChannel.UsualRangeCodes;

    /// <summary>Codes of the ramp in one column.</summary>
    public double CodesPerColumn => RampExcursionCodes / Setup.Columns.ColumnCount;
}
