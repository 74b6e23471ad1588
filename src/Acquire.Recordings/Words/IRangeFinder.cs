namespace Acquire.Recordings.Words;

/// <summary>Finds the lowest and highest finite word of each channel in a pass over the file.</summary>
internal interface IRangeFinder
{
    /// <summary>Whether a word was no number or infinite.</summary>
    bool SawNotANumber { get; }

    /// <summary>Lowest finite word, positive infinity where there was none.</summary>
    double LowOf(int channel);

    /// <summary>Highest finite word, negative infinity where there was none.</summary>
    double HighOf(int channel);

    /// <summary>Takes whole scans into account.</summary>
    void Look(ReadOnlySpan<byte> raw);
}
