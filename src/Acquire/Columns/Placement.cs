namespace Acquire.Columns;

/// <summary>How a scan finds its column.</summary>
public enum Placement
{
    /// <summary>By the course of the ramp in time, estimated from many scans.</summary>
    Fitted,

    /// <summary>By the scan's own ramp code.</summary>
    Direct,
}
