namespace Acquire.Harness.Inspect.Findings;

/// <summary>One thing that was found, with what to do about it.</summary>
/// <param name="Name">Kebab-case name; one of <see cref="FindingName"/>.</param>
/// <param name="Severity">How much it matters.</param>
/// <param name="Count">How often, at least 1.</param>
/// <param name="Message">What, in plain words, with the numbers.</param>
/// <param name="Cure">What to do.</param>
/// <param name="AtScan">Index of the scan where it is first seen.</param>
internal sealed record Finding(string Name, FindingSeverity Severity, long Count, string Message, string Cure, long AtScan = 0)
{
    /// <summary>Puts findings into the order in which they are listed: the gravest first, then by scan, then by name.</summary>
    public static IReadOnlyList<Finding> Sort(IEnumerable<Finding> findings) =>
        [.. findings.OrderBy(f => f.Severity).ThenBy(f => f.AtScan).ThenBy(f => f.Name, StringComparer.Ordinal)];
}
