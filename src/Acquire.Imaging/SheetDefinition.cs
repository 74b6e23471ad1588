using Acquire.Imaging.Charts;

namespace Acquire.Imaging;

/// <summary>All that a chart sheet shows.</summary>
public sealed record SheetDefinition
{
    /// <summary>The chart.</summary>
    public required Chart Chart { get; init; }

    /// <summary>The title block.</summary>
    public required TitleBlock TitleBlock { get; init; }
}
