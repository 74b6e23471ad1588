namespace Acquire.Harness.Instrument;

/// <summary>How often each fault happens.</summary>
internal sealed record LineFaultOptions
{
    /// <summary>Seed of all randomness of the line.</summary>
    public int Seed { get; init; } = 1;

    /// <summary>Share of bits, of bytes or of frames that a fault strikes, 0 to 1; a fault without an entry never happens.</summary>
    /// <remarks>Bit errors are counted by bits, insertions and deletions by bytes, all others by frames.</remarks>
    public IReadOnlyDictionary<LineFault, double> Rates { get; init; } = new Dictionary<LineFault, double>();

    /// <summary>How long a stall lasts.</summary>
    public TimeSpan StallTime { get; init; } = TimeSpan.FromMilliseconds(50);

    /// <summary>Rate of one fault.</summary>
    public double RateOf(LineFault fault) => Rates.GetValueOrDefault(fault);

    /// <summary>Whether the line is perfect.</summary>
    public bool None => Rates.Values.All(rate => rate <= 0);

    /// <summary>What a fault is called in options and in the truth.</summary>
    public static string WordOf(LineFault fault) => fault switch
    {
        LineFault.BitErrors => "bit-errors",
        LineFault.Insertions => "insertions",
        LineFault.Deletions => "deletions",
        LineFault.Bursts => "bursts",
        LineFault.Stalls => "stalls",
        LineFault.Duplicates => "duplicates",
        LineFault.Reordering => "reordering",
        LineFault.Resets => "resets",
        _ => "garbage",
    };
}
