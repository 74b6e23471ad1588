using Acquire.Capture;

namespace Acquire.Link;

/// <summary>How raw interleaved words are laid out.</summary>
public sealed record RawWordsOptions
{
    /// <summary>What the scans are; the words themselves do not say.</summary>
    /// <value>Roles and bits must be right; the rest may be unknown. Default: ramp and vertical of 12 bits.</value>
    public StreamDescription Description { get; init; } = new();

    /// <summary>Whether the channel's index stands in the bits above the code.</summary>
    /// <value>Default false: those bits are zero. True needs enough of them for the highest channel index.</value>
    public bool ChannelInHighBits { get; init; }

    /// <summary>Throws when the values do not fit together.</summary>
    /// <exception cref="ArgumentException">The format is not valid, or the channel index does not fit above the code; the message gives value, rule and fix.</exception>
    public void Validate()
    {
        Description.Scan.Validate();
        int highest = Description.Scan.ChannelCount - 1;
        if (ChannelInHighBits && highest >> (16 - Description.Scan.Bits) != 0)
            throw new ArgumentException($"Bits is {Description.Scan.Bits}, which leaves {16 - Description.Scan.Bits} bits of a word for the channel's index; channel {highest} needs more. Give fewer bits, or send without channel numbers.");
    }
}
