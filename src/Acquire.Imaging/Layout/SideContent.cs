namespace Acquire.Imaging.Layout;

/// <summary>What a sheet says beside the title block.</summary>
internal sealed record SideContent
{
    public IReadOnlyList<LegendItem> Legend { get; init; } = [];

    /// <summary>The scale of a history's colours.</summary>
    public RampScale? Ramp { get; init; }

    public IReadOnlyList<SideTable> Tables { get; init; } = [];

    /// <summary>Sentences that belong to the picture.</summary>
    public IReadOnlyList<string> Remarks { get; init; } = [];
}
