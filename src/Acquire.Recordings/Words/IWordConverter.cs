namespace Acquire.Recordings.Words;

/// <summary>Turns a dataset's words into codes.</summary>
internal interface IWordConverter
{
    /// <summary>Words so far that were no number or infinite.</summary>
    long NotANumber { get; }

    /// <summary>Words so far that lay outside the range and were set to its nearer end.</summary>
    long Clipped { get; }

    /// <summary>Sets both counts to 0.</summary>
    void ResetCounts();

    /// <summary>Converts whole scans.</summary>
    /// <param name="raw">Whole scans as they lie in the file; may be changed.</param>
    /// <param name="codes">Exactly one code per selected channel and scan.</param>
    void Convert(Span<byte> raw, Span<ushort> codes);
}
