namespace Acquire.Columns;

/// <summary>How the scans of one column become one value.</summary>
public enum Detector
{
    /// <summary>The reading highest on the instrument's screen.</summary>
    Peak,

    /// <summary>The reading lowest on the instrument's screen.</summary>
    Minimum,

    /// <summary>The mean in an averaging domain.</summary>
    Average,

    /// <summary>Root of the mean square; for a logarithmic vertical the power average.</summary>
    Rms,

    /// <summary>The last reading of the column.</summary>
    Sample,
}
