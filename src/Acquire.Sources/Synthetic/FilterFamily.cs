namespace Acquire.Sources.Synthetic;

/// <summary>Family of a filter's response.</summary>
public enum FilterFamily
{
    /// <summary>Maximally flat.</summary>
    Butterworth,

    /// <summary>Equal ripple in the pass band (type I).</summary>
    Chebyshev,
}
