namespace Acquire.Bench.Link;

/// <summary>What came out of a trial. The trial holds if <see cref="Violations"/> is empty.</summary>
internal sealed record LinkTrialResult
{
    public long Bits { get; init; }

    public long FramesSent { get; init; }

    /// <summary>Copies of frames that arrived with every byte and both delimiters as sent.</summary>
    public long CopiesIntact { get; init; }

    public long FramesUsed { get; init; }

    /// <summary>Frames used whose bytes are not those of a frame that was sent.</summary>
    public long DamagedUsed { get; init; }

    public long ScansSent { get; init; }

    public long ScansDelivered { get; init; }

    public long ScansInGaps { get; init; }

    public long Breaks { get; init; }

    /// <summary>What did not hold, the first few in words.</summary>
    public required IReadOnlyList<string> Violations { get; init; }
}
