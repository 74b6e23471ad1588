using Acquire.Capture;

namespace Acquire.Link;

/// <summary>How text lines of codes are laid out.</summary>
public sealed record TextLinesOptions
{
    /// <summary>Least value of <see cref="NumberBits"/>.</summary>
    public const int LeastNumberBits = 8;

    /// <summary>Greatest value of <see cref="NumberBits"/>.</summary>
    public const int MostNumberBits = 63;

    /// <summary>What the scans are; the lines themselves do not say.</summary>
    /// <value>Roles and bits must be right; the rest may be unknown. Default: ramp and vertical of 12 bits.</value>
    public StreamDescription Description { get; init; } = new();

    /// <summary>Whether each line begins with its number, one more than the line before's.</summary>
    /// <value>Default false. True makes every loss of lines a gap of known length.</value>
    public bool Numbered { get; init; }

    /// <summary>Bits of the device's line counter: behind 2^NumberBits - 1 comes 0.</summary>
    /// <value><see cref="LeastNumberBits"/> to <see cref="MostNumberBits"/>; default 32. A loss of half the counter's way or more is a break.</value>
    public int NumberBits { get; init; } = 32;

    /// <summary>Throws when a value is outside its range.</summary>
    /// <exception cref="ArgumentException">A value is out of range; the message gives value, rule and fix.</exception>
    public void Validate()
    {
        Description.Scan.Validate();
        if (NumberBits is < LeastNumberBits or > MostNumberBits)
            throw new ArgumentException($"NumberBits is {NumberBits}; a line counter has {LeastNumberBits} to {MostNumberBits} bits. Give the width of the device's counter.");
    }
}
