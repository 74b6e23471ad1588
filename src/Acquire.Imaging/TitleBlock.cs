namespace Acquire.Imaging;

/// <summary>What the title block in the lower right corner says. Null is printed as "not stated" unless said otherwise.</summary>
/// <remarks>The fields follow technical drawings (ISO 7200, from memory): title, identification, date, sheet, legal owner, creator.</remarks>
public sealed record TitleBlock
{
    /// <summary>What the sheet shows, in a few words.</summary>
    public required string Title { get; init; }

    /// <summary>A second line under the title, or null for none.</summary>
    public string? Supplement { get; init; }

    /// <summary>Number or name under which the sheet is filed.</summary>
    public string? Identification { get; init; }

    /// <summary>Date of the measurement or of issue.</summary>
    public DateOnly? Date { get; init; }

    /// <summary>Number of this sheet, from 1.</summary>
    public int SheetNumber { get; init; } = 1;

    /// <summary>How many sheets there are.</summary>
    public int SheetCount { get; init; } = 1;

    /// <summary>Who owns the sheet; left out when null.</summary>
    public string? LegalOwner { get; init; }

    /// <summary>Who made the sheet; left out when null.</summary>
    public string? Creator { get; init; }

    /// <summary>Where the scans came from.</summary>
    public string? Source { get; init; }

    /// <summary>Number of the sweep, from 0.</summary>
    public long? SweepNumber { get; init; }

    /// <summary>Time of the sweep as measured, in seconds.</summary>
    public double? SweepTimeSeconds { get; init; }

    /// <summary>Detector.</summary>
    public string? Detector { get; init; }

    /// <summary>Domain in which averages were taken.</summary>
    public string? Domain { get; init; }

    /// <summary>How scans found their columns.</summary>
    public string? Placement { get; init; }

    /// <summary>Scans in a column, in words: a number, or lowest to highest.</summary>
    public string? ScansPerColumn { get; init; }

    /// <summary>What was lost, in words; "nothing" where that is known.</summary>
    public string? Lost { get; init; }

    /// <summary>Every other setting known, in the order of printing.</summary>
    public IReadOnlyList<SheetEntry> Settings { get; init; } = [];
}
