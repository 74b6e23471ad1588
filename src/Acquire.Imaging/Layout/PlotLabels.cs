namespace Acquire.Imaging.Layout;

/// <summary>What stands beside the field of a chart.</summary>
internal sealed record PlotLabels
{
    public required string XUnit { get; init; }

    public required string YUnit { get; init; }

    /// <summary>Name of the horizontal axis; null leaves it out.</summary>
    public string? XTitle { get; init; }

    /// <summary>Name of the vertical axis, above its upper end; null leaves it out.</summary>
    public string? YTitle { get; init; }

    /// <summary>Puts the horizontal axis' name above the field, at the right, to save a line.</summary>
    public bool XTitleOnTop { get; init; }

    /// <summary>Whether the horizontal axis has numbers.</summary>
    public bool ShowsXNumbers { get; init; } = true;

    /// <summary>Whether values grow downwards.</summary>
    public bool YDownwards { get; init; }

    /// <summary>Whether numbers may stand closer, on a small sheet.</summary>
    public bool Dense { get; init; }

    /// <summary>Room for the vertical axis' numbers in pixels, to line fields up; null takes what they need.</summary>
    public double? YNumberWidth { get; init; }
}
