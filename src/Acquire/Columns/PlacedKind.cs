namespace Acquire.Columns;

/// <summary>Where a scan of a sweep went that is in no column.</summary>
internal enum PlacedKind
{
    /// <summary>Outside of the screen's edges.</summary>
    Overscan,

    /// <summary>The beam is off, or a code is beyond the stated bits.</summary>
    Blanked,

    /// <summary>Its reading belongs to the ramp before the sweep.</summary>
    Unfiled,
}
