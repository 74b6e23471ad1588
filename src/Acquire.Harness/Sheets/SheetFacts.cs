using Acquire.Imaging;

namespace Acquire.Harness.Sheets;

/// <summary>What a title block says of a run beside its setup.</summary>
internal sealed record SheetFacts
{
    /// <summary>What the sheet shows.</summary>
    public required string Title { get; init; }

    /// <summary>A second line under the title, or null.</summary>
    public string? Supplement { get; init; }

    /// <summary>Name of the recording.</summary>
    public required string Source { get; init; }

    /// <summary>Name of the reference, or null.</summary>
    public string? Reference { get; init; }

    /// <summary>Day of the recording, or null.</summary>
    public DateOnly? Date { get; init; }

    /// <summary>What was lost, in words.</summary>
    public required string Lost { get; init; }

    /// <summary>The title block with these facts.</summary>
    /// <param name="settings">Settings, in the order of printing.</param>
    public TitleBlock TitleWith(IReadOnlyList<SheetEntry> settings) => new()
    {
        Title = Title,
        Supplement = Supplement,
        Identification = Source,
        Source = Source,
        Date = Date,
        Lost = Lost,
        Settings = settings,
    };
}
