namespace Acquire.Capture;

/// <summary>How one scan is laid out: one unsigned word per channel, interleaved in channel order.</summary>
public sealed record ScanFormat
{
    /// <summary>The most channels that a scan may have.</summary>
    public const int MaxChannels = 8;

    /// <summary>Role of each channel, in the order in which the words of a scan arrive.</summary>
    /// <value>2 to 8 entries, exactly one ramp, at least one vertical, at most one blanking; default ramp, vertical.</value>
    public IReadOnlyList<ChannelRole> Roles { get; init; } = [ChannelRole.Ramp, ChannelRole.Vertical];

    /// <summary>Bits of one code; a code above 2^Bits - 1 is counted and excluded.</summary>
    /// <value>1 to 16; default 12, the usual converter inside a microcontroller.</value>
    public int Bits { get; init; } = 12;

    /// <summary>Scans per second, or null where nobody said.</summary>
    /// <value>Positive and finite, in hertz; null makes every time a count of scans.</value>
    public double? ScanRateHz { get; init; }

    /// <summary>Words in one scan.</summary>
    public int ChannelCount => Roles.Count;

    /// <summary>Highest valid code, 2^Bits - 1.</summary>
    public int FullCode => (1 << Bits) - 1;

    /// <summary>Index of the ramp's channel; -1 in a format without one, which <see cref="Validate"/> refuses.</summary>
    public int RampChannel => IndexOf(ChannelRole.Ramp);

    /// <summary>Index of the blanking channel, or -1 where there is none.</summary>
    public int BlankingChannel => IndexOf(ChannelRole.Blanking);

    /// <summary>Channel indices of the verticals, in channel order; a new list with each call.</summary>
    public IReadOnlyList<int> VerticalChannels =>
        [.. Enumerable.Range(0, Roles.Count).Where(c => Roles[c] == ChannelRole.Vertical)];

    /// <summary>Throws when a value is outside its documented range.</summary>
    /// <exception cref="ArgumentException">A value is out of range; the message gives value, rule and fix.</exception>
    public void Validate()
    {
        if (Bits is < 1 or > 16)
            throw new ArgumentException($"Bits is {Bits}; a code has 1 to 16 bits. Give the converter's resolution.");
        if (Roles.Count is < 2 or > MaxChannels)
            throw new ArgumentException($"A scan has {Roles.Count} channels; it needs 2 to {MaxChannels}: one ramp and at least one vertical.");
        foreach (ChannelRole role in Roles)
            if (!Enum.IsDefined(role)) throw new ArgumentException($"A channel's role is {(int)role}; it must be ramp, vertical, blanking or auxiliary.");
        if (Roles.Count(r => r == ChannelRole.Ramp) != 1)
            throw new ArgumentException("Exactly one channel must have the role ramp; give the others the role vertical, blanking or auxiliary.");
        if (!Roles.Contains(ChannelRole.Vertical))
            throw new ArgumentException("No channel has the role vertical; at least one is needed.");
        if (Roles.Count(r => r == ChannelRole.Blanking) > 1)
            throw new ArgumentException("More than one channel has the role blanking; at most one may.");
        if (ScanRateHz is { } rate && !(rate > 0 && double.IsFinite(rate)))
            throw new ArgumentException($"ScanRateHz is {rate}; it must be positive and finite, or left out where it is not known.");
    }

    private int IndexOf(ChannelRole role)
    {
        for (int c = 0; c < Roles.Count; c++)
            if (Roles[c] == role) return c;
        return -1;
    }
}
