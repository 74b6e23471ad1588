namespace Acquire.Imaging;

/// <summary>One line of the title block.</summary>
/// <param name="Name">What is stated.</param>
/// <param name="Value">The value with its unit; null is printed as "not stated".</param>
public sealed record SheetEntry(string Name, string? Value);
