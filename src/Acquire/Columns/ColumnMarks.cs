namespace Acquire.Columns;

/// <summary>What is to be known of a column's readings beside their values.</summary>
[Flags]
public enum ColumnMarks
{
    /// <summary>Nothing.</summary>
    None = 0,

    /// <summary>It holds scans that hardware may have overwritten while they were read.</summary>
    Suspect = 1,

    /// <summary>It holds readings of the settling time after a retrace.</summary>
    Settling = 2,

    /// <summary>It holds scans on which the tracker has not decided; they may yet be dropped.</summary>
    Provisional = 4,

    /// <summary>Its last pass had no scans for it; the value is kept from a sweep before.</summary>
    Kept = 8,

    /// <summary>Its reading lies at an end of the converter's range, so what it stands for may lie beyond. Set where readings are taken
    /// for trace arithmetic, not by the engine.</summary>
    AtRail = 16,
}
