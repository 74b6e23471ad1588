namespace Acquire;

/// <summary>Where every scan went. <c>Scans = InColumns + Overscan + Retrace + Rest + Blanked + Unassigned</c>, always.</summary>
public readonly record struct Accounting
{
    /// <summary>Scans processed.</summary>
    public long Scans { get; init; }

    /// <summary>Scans in columns.</summary>
    public long InColumns { get; init; }

    /// <summary>Scans of a sweep outside of the screen's edges.</summary>
    public long Overscan { get; init; }

    /// <summary>Scans of a retrace.</summary>
    public long Retrace { get; init; }

    /// <summary>Scans between a retrace and the next sweep.</summary>
    public long Rest { get; init; }

    /// <summary>Scans on which the blanking line said that the beam is off, or whose ramp or vertical had a code beyond the stated bits.</summary>
    public long Blanked { get; init; }

    /// <summary>Scans before the first lock, without a ramp, and scans on which the tracker is still in doubt.</summary>
    public long Unassigned { get; init; }

    /// <summary>Scans known to be missing.</summary>
    public long Lost { get; init; }

    /// <summary>Places where an unknown number of scans is missing.</summary>
    public long Breaks { get; init; }

    /// <summary>Scans with a code beyond the stated bits in any channel; counted in one of the classes above, and in no column where it is the ramp's or a vertical's.</summary>
    public long InvalidCodes { get; init; }
}
