using Acquire.Harness.Inspect.Findings;

namespace Acquire.Harness.Tests.Inspect;

public sealed class FindingDocumentTests
{
    private const string Heading = "### ";

    [Fact]
    public void Document_EveryFinding_HasItsHeadingAndNoOther()
    {
        string[] headings = [.. File.ReadLines(Locate()).Where(l => l.StartsWith(Heading, StringComparison.Ordinal)).Select(l => l[Heading.Length..])];

        Assert.Equal(FindingName.All.Order(), headings.Order());
    }

    [Fact]
    public void Raisers_EveryFinding_HasOneAndNoOther() =>
        Assert.Equal(FindingName.All.Order(), FindingRaisers.All.Keys.Order());

    [Fact]
    public void Names_EveryFinding_IsKebabCase() =>
        Assert.All(FindingName.All, name => Assert.Matches("^[a-z]+(-[a-z]+)*$", name));

    private static string Locate()
    {
        for (DirectoryInfo? folder = new(AppContext.BaseDirectory); folder is not null; folder = folder.Parent)
        {
            string path = Path.Combine(folder.FullName, "docs", "findings.md");
            if (File.Exists(path)) return path;
        }

        throw new FileNotFoundException("docs/findings.md was not found above the test assembly.");
    }
}
