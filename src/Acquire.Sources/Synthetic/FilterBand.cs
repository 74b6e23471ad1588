namespace Acquire.Sources.Synthetic;

/// <summary>What a filter lets through.</summary>
public enum FilterBand
{
    /// <summary>Below the corner.</summary>
    LowPass,

    /// <summary>Above the corner.</summary>
    HighPass,

    /// <summary>The band about the centre.</summary>
    BandPass,

    /// <summary>All but the band about the centre.</summary>
    BandStop,
}
