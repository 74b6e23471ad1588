namespace Acquire.Sources.Streams;

/// <summary>How a TCP source connects.</summary>
public sealed record TcpOptions
{
    /// <summary>How long an answer is waited for; default 10 seconds.</summary>
    public TimeSpan ConnectTimeout { get; init; } = TimeSpan.FromSeconds(10);

    /// <summary>Whether the sender is made to wait while the receiver takes its time; default false: an instrument goes on, and its newest scans count.</summary>
    public bool Waits { get; init; }

    /// <summary>Throws when a value is outside its documented range.</summary>
    /// <exception cref="ArgumentException">A value is out of range; the message gives value, rule and fix.</exception>
    public void Validate()
    {
        if (ConnectTimeout <= TimeSpan.Zero || ConnectTimeout.TotalMilliseconds > int.MaxValue)
            throw new ArgumentException($"ConnectTimeout is {ConnectTimeout}; it is longer than 0 and at most 24 days. Give the time within which the device answers.");
    }
}
