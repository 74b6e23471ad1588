using Acquire.Scales;

namespace Acquire.Recordings;

/// <summary>How a recording is read.</summary>
public sealed record RecordingOptions
{
    /// <summary>The most channels that can be selected.</summary>
    public const int MaxSelectedChannels = Capture.ScanFormat.MaxChannels;

    /// <summary>Indices of the channels to read, in the order in which their words are wanted.</summary>
    /// <value>At most 8 entries; empty (the default) is every channel of the file, in its order.</value>
    public IReadOnlyList<int> Channels { get; init; } = [];

    /// <summary>Bits of one code, or null: as the recording says, otherwise all bits of the word.</summary>
    /// <value>1 to 16. A 12-bit converter's codes lie in 16-bit words, and the file format has no word for that: say 12 here.</value>
    /// <remarks>Signed words are offset by 2^(Bits - 1). A word outside the bits comes out as a code above 2^Bits - 1,
    /// which the engine counts and excludes.</remarks>
    public int? Bits { get; init; }

    /// <summary>Word values that become code 0 and the full code, for words wider than 16 bits and for fractions.</summary>
    /// <value>One entry for all channels or one per channel read; empty (the default) finds each channel's range in a first pass over the file.</value>
    public IReadOnlyList<CodeVolts> Ranges { get; init; } = [];

    /// <summary>Whether the dataset is compared with the hash in the metadata, which reads the file once more; default false.</summary>
    public bool VerifyHash { get; init; }

    /// <summary>Throws when a value is outside its documented range.</summary>
    /// <exception cref="ArgumentException">A value is out of range; the message gives value, rule and fix.</exception>
    public void Validate()
    {
        if (Bits is < 1 or > 16)
            throw new ArgumentException($"Bits is {Bits}; a code has 1 to 16 bits. Give the converter's resolution.");
        if (Channels.Count > MaxSelectedChannels)
            throw new ArgumentException($"{Channels.Count} channels are selected; at most {MaxSelectedChannels} can be. Leave some out.");
        foreach (CodeVolts range in Ranges)
            if (range.AtCodeZero == range.AtFullCode)
                throw new ArgumentException($"The range {range.AtCodeZero} to {range.AtFullCode} is empty; its ends must differ.");
    }
}
