using Acquire.Scales;

namespace Acquire.Capture;

/// <summary>What a device or a file says about the scans that follow. Nothing in it is needed to read them except the channel count.</summary>
public sealed record StreamDescription
{
    /// <summary>Roles, bits and scan rate.</summary>
    public ScanFormat Scan { get; init; } = new();

    /// <summary>Volts at code 0 and at full code for each channel, in channel order.</summary>
    /// <value>One entry per channel, null where nobody said; empty: nobody said for any.</value>
    public IReadOnlyList<CodeVolts?> Volts { get; init; } = [];

    /// <summary>What the device calls itself, as it sent it: any characters; whoever shows it escapes it.</summary>
    public string Device { get; init; } = "";

    /// <summary>Scans in one half of the device's buffer, or null where nobody said.</summary>
    /// <value>1 or more.</value>
    public int? ScansPerHalf { get; init; }

    /// <summary>Volts of one channel, or null where nobody said.</summary>
    /// <param name="channel">Index in scan order, 0 or more.</param>
    /// <exception cref="ArgumentOutOfRangeException">The index is negative.</exception>
    public CodeVolts? VoltsOf(int channel)
    {
        ArgumentOutOfRangeException.ThrowIfNegative(channel);
        return channel < Volts.Count ? Volts[channel] : null;
    }
}
