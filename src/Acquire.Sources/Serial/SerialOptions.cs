namespace Acquire.Sources.Serial;

/// <summary>How a serial port is used: always 8 data bits, no parity, one stop bit, no character with a meaning of its own.</summary>
public sealed record SerialOptions
{
    /// <summary>Bits per second on the line, start and stop bits included; any number that the port can do, not only the usual ones.</summary>
    /// <value>50 to 100,000,000; default 115,200. A port that is only dressed as one (USB classes, pseudo-terminals) takes any number.</value>
    public int Baud { get; init; } = 115_200;

    /// <summary>Whether the port's lines hold the device back (RTS and CTS); default false: a swept instrument cannot be held back.</summary>
    public bool HardwareFlow { get; init; }

    /// <summary>State of the line DTR, or null (the default): as the system leaves it. Some boards restart when it changes.</summary>
    public bool? Dtr { get; init; }

    /// <summary>State of the line RTS, or null (the default): as the system leaves it.</summary>
    public bool? Rts { get; init; }

    /// <summary>How long an unplugged device is waited for, which is then a break and no end; on Linux only.</summary>
    /// <value>0 or longer; default 10 seconds, enough to put a plug back. 0: unplugged is the end. <see cref="Timeout.InfiniteTimeSpan"/>: for ever.</value>
    public TimeSpan ReplugWait { get; init; } = TimeSpan.FromSeconds(10);

    /// <summary>Throws when a value is outside its documented range.</summary>
    /// <exception cref="ArgumentException">A value is out of range; the message gives value, rule and fix.</exception>
    public void Validate()
    {
        if (Baud is < 50 or > 100_000_000)
            throw new ArgumentException($"Baud is {Baud:N0}; a line has 50 to 100,000,000 bits per second. Give the rate that the device sends with.");
        if (ReplugWait != Timeout.InfiniteTimeSpan && (ReplugWait < TimeSpan.Zero || ReplugWait.TotalMilliseconds > int.MaxValue))
            throw new ArgumentException($"ReplugWait is {ReplugWait}; it is 0 to 24 days, or infinite. Give the time that somebody needs to put the plug back.");
        if (HardwareFlow && Rts is not null)
            throw new ArgumentException("Rts is given and HardwareFlow is on, which drives that line itself; leave one of the two out.");
    }
}
