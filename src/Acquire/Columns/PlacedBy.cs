namespace Acquire.Columns;

/// <summary>How scans were placed.</summary>
internal enum PlacedBy : byte
{
    /// <summary>Each by itself.</summary>
    Single,

    /// <summary>By their own codes.</summary>
    Code,

    /// <summary>By a line of the course.</summary>
    Line,

    /// <summary>By lines of the course, each shorter than what this is said of.</summary>
    Lines,
}
