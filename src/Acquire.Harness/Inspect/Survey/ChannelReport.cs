using Acquire.Capture;

namespace Acquire.Harness.Inspect.Survey;

/// <summary>What the survey says of one channel.</summary>
internal sealed record ChannelReport
{
    /// <summary>Channel index.</summary>
    public required int Channel { get; init; }

    /// <summary>Role that the setup gives it.</summary>
    public required ChannelRole Role { get; init; }

    /// <summary>Role that its course suggests; null where it suggests none.</summary>
    public ChannelRole? LikelyRole { get; init; }

    /// <summary>Why that role, in plain words.</summary>
    public required string Reason { get; init; }

    /// <summary>Scans with a code within the stated bits.</summary>
    public required long ValidCodes { get; init; }

    /// <summary>Scans with a code beyond the stated bits.</summary>
    public required long InvalidCodes { get; init; }

    /// <summary>Index of the first scan with a code beyond the stated bits; -1 where there is none.</summary>
    public required long FirstInvalidScan { get; init; }

    /// <summary>Highest code of all, beyond the stated bits or not; -1 where there is none.</summary>
    public required int HighestOfAll { get; init; }

    /// <summary>Lowest valid code; -1 where there is none.</summary>
    public required int LowestCode { get; init; }

    /// <summary>Highest valid code; -1 where there is none.</summary>
    public required int HighestCode { get; init; }

    /// <summary>Codes within which 99.8 % of the scans lie.</summary>
    public required int UsualRangeCodes { get; init; }

    /// <summary>Mean of the valid codes; NaN where there is none.</summary>
    public required double MeanCode { get; init; }

    /// <summary>Standard deviation of the scan-to-scan noise, in codes.</summary>
    public required double NoiseCodes { get; init; }

    /// <summary>Distinct valid codes.</summary>
    public required int DistinctCodes { get; init; }

    /// <summary>Bits at the low end that are the same in every code.</summary>
    public required int SteadyLowBits { get; init; }

    /// <summary>What happens at code 0.</summary>
    public required RailReport LowRail { get; init; }

    /// <summary>What happens at the full code, or at the highest code where that is the full code of fewer bits.</summary>
    public required RailReport HighRail { get; init; }

    /// <summary>Legs of at least half of the range that rise.</summary>
    public required LegStatistics RisingLegs { get; init; }

    /// <summary>Legs of at least half of the range that fall.</summary>
    public required LegStatistics FallingLegs { get; init; }

    /// <summary>Legs of at least a quarter of the range that rise.</summary>
    public required LegStatistics QuarterRisingLegs { get; init; }

    /// <summary>Legs of at least a quarter of the range that fall.</summary>
    public required LegStatistics QuarterFallingLegs { get; init; }

    /// <summary>Noise of sums of 16 scans relative to what the scan-to-scan noise makes of it: 1 for white noise, more where the channel wanders, NaN without noise.</summary>
    public required double Wander { get; init; }

    /// <summary>Share of scans at both rails, 0 to 1.</summary>
    public double RailShare => ValidCodes == 0 ? 0 : (double)(LowRail.Scans + HighRail.Scans) / ValidCodes;

    /// <summary>The channel neither moves nor carries more than its noise.</summary>
    /// <remarks>99.8 % of a normal distribution lie within 6.2 standard deviations; 8 codes are what a quiet input wanders, also where too few scans leave the noise unknown.</remarks>
    public bool Still => UsualRangeCodes <= double.MaxNumber(8, 8 * NoiseCodes);
}
