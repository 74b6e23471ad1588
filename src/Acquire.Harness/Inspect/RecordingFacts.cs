namespace Acquire.Harness.Inspect;

/// <summary>What the file itself says, before anybody looks at a scan.</summary>
internal sealed record RecordingFacts
{
    /// <summary>Name as given.</summary>
    public required string Name { get; init; }

    /// <summary>The file ends within a scan, or before it says so itself.</summary>
    public bool Truncated { get; init; }

    /// <summary>Values that are not numbers.</summary>
    public long NotANumber { get; init; }

    /// <summary>Scan with the first such value, or 0.</summary>
    public long FirstNotANumber { get; init; }

    /// <summary>Words have a sign, so that 0 V is the middle code: sound files and their like.</summary>
    public bool ZeroIsMiddle { get; init; }

    /// <summary>What the reader remarked.</summary>
    public IReadOnlyList<string> Notes { get; init; } = [];
}
