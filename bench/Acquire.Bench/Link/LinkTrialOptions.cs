namespace Acquire.Bench.Link;

/// <summary>What a link is put through.</summary>
internal sealed record LinkTrialOptions
{
    /// <summary>Bits on the wire.</summary>
    public long Bits { get; init; } = 1_000_000_000;

    /// <summary>Bytes of a full frame on the wire.</summary>
    public int FrameBytes { get; init; } = 1_024;

    /// <summary>Probability that a bit is wrong.</summary>
    public double BitErrorRate { get; init; }

    /// <summary>Probability, for each frame, of one blow of a kind drawn from all: bytes inserted, deleted, replaced; the frame repeated, late, or torn; damage aimed at a field.</summary>
    public double BlowsPerFrame { get; init; }

    /// <summary>Probability, for each frame, that the device begins anew before it.</summary>
    public double ResetsPerFrame { get; init; }

    /// <summary>Whether the device has another run number each time it begins anew.</summary>
    public bool NewRunNumbers { get; init; } = true;

    /// <summary>Whether codes are packed.</summary>
    public bool Packed { get; init; } = true;

    /// <summary>Seed of everything.</summary>
    public int Seed { get; init; } = 1;
}
