namespace Acquire.Capture;

/// <summary>Size and policy of a <see cref="PingPongBuffer"/>.</summary>
public sealed record PingPongOptions
{
    /// <summary>Most scans in one half.</summary>
    public const int MaxScansPerHalf = 1_048_576;

    /// <summary>Number of scans in each of the two halves.</summary>
    /// <value>1 to 1,048,576 scans; default 4,096, about 4 ms at a million scans a second.</value>
    /// <remarks>Larger halves tolerate a slower consumer and add latency: a scan waits for at most one half before it can be seen.</remarks>
    public int ScansPerHalf { get; init; } = 4_096;

    /// <summary>Words in one scan.</summary>
    /// <value>1 to 8; default 2, ramp and vertical.</value>
    public int ChannelCount { get; init; } = 2;

    /// <summary>What an overrun does; default <see cref="OverrunPolicy.Drop"/>, which never makes a scan suspect.</summary>
    public OverrunPolicy Policy { get; init; } = OverrunPolicy.Drop;

    /// <summary>Words in both halves together: what memory of the caller's must hold.</summary>
    public int WordCount => 2 * ScansPerHalf * ChannelCount;

    /// <summary>Throws when a value is outside its documented range.</summary>
    /// <exception cref="ArgumentException">A value is out of range; the message gives value, rule and fix.</exception>
    public void Validate()
    {
        if (ScansPerHalf is < 1 or > MaxScansPerHalf)
            throw new ArgumentException($"ScansPerHalf is {ScansPerHalf:N0}; a half holds 1 to {MaxScansPerHalf:N0} scans. Give a size in that range.");
        if (ChannelCount is < 1 or > ScanFormat.MaxChannels)
            throw new ArgumentException($"ChannelCount is {ChannelCount}; a scan has 1 to {ScanFormat.MaxChannels} channels. Give the scan format's count.");
        if (Policy is not (OverrunPolicy.Drop or OverrunPolicy.Overwrite))
            throw new ArgumentException($"Policy is {Policy}; give Drop for a program that fills, Overwrite for hardware that does.");
    }
}
