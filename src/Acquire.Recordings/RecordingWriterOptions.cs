namespace Acquire.Recordings;

/// <summary>What a recording says about itself.</summary>
public sealed record RecordingWriterOptions
{
    private const double LowestRateHz = 1;
    private const double HighestRateHz = 1e12;

    /// <summary>Words per scan.</summary>
    /// <value>1 to 65,536; default 2, a ramp and a vertical.</value>
    public int ChannelCount { get; init; } = 2;

    /// <summary>Bits of one code, or null: not stated. A reader of ours takes it as the default.</summary>
    /// <value>1 to 16.</value>
    public int? Bits { get; init; }

    /// <summary>Scans per second, or null: not stated.</summary>
    /// <value>1 to 10^12, in hertz, as the format allows.</value>
    public double? ScanRateHz { get; init; }

    /// <summary>Time of the first scan, or null: not stated.</summary>
    public DateTimeOffset? Started { get; init; }

    /// <summary>What the recording is of, or null.</summary>
    public string? Description { get; init; }

    /// <summary>Who makes it, or null.</summary>
    public string? Author { get; init; }

    /// <summary>What it is made with, or null.</summary>
    public string? Hardware { get; init; }

    /// <summary>Whether the dataset's hash goes into the metadata; default false, since it takes as long as the writing.</summary>
    public bool ComputeHash { get; init; }

    /// <summary>Whether both files stand under their names from the first scan on, so that a killed process leaves a readable recording.</summary>
    /// <value>Default false: they appear when the recording is complete, and an older recording of that name stays until then.</value>
    public bool GrowInPlace { get; init; }

    /// <summary>Whether a recording that grows in place outlives a power cut as it does a killed process: the folder's entries reach the disk when a
    /// file appears in it or is renamed, and scans reach it before metadata that speaks of what follows them.</summary>
    /// <value>Default false. What was written since the last <see cref="RecordingWriter.Flush"/> to disk may be lost all the same.</value>
    public bool OutlivesPowerCut { get; init; }

    /// <summary>Index of the first scan in the stream that is recorded.</summary>
    /// <value>0 to 2^61 - 1; default 0. A recording that goes on where another one ended begins at that one's end.</value>
    public long FirstIndex { get; init; }

    /// <summary>Throws when a value is outside its documented range.</summary>
    /// <exception cref="ArgumentException">A value is out of range; the message gives value, rule and fix.</exception>
    public void Validate()
    {
        if (ChannelCount is < 1 or > Sigmf.SigmfRecording.MostChannels)
            throw new ArgumentException($"ChannelCount is {ChannelCount}; a scan has 1 to {Sigmf.SigmfRecording.MostChannels} channels.");
        if (Bits is < 1 or > 16)
            throw new ArgumentException($"Bits is {Bits}; a code has 1 to 16 bits. Give the converter's resolution or leave it out.");
        if (FirstIndex is < 0 or > long.MaxValue / 4)
            throw new ArgumentException($"FirstIndex is {FirstIndex}; it is 0 to 2^61 - 1. Give the position that the stream has, or leave it out.");
        if (ScanRateHz is { } rate && !(rate >= LowestRateHz && rate <= HighestRateHz))
            throw new ArgumentException($"ScanRateHz is {rate}; the format allows {LowestRateHz} to {HighestRateHz}. Leave it out where it is not known.");
    }
}
