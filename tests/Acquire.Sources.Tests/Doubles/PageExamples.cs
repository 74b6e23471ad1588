namespace Acquire.Sources.Tests.Doubles;

/// <summary>Examples of a page of docs/, and the lines of a test that they must be.</summary>
internal static class PageExamples
{
    private const string Fence = "```csharp\n", EndOfFence = "```", EndOfExample = "// end example";

    /// <summary>The page's examples in C#, in order.</summary>
    public static IReadOnlyList<string> Shown(string page) => Between(Read("docs", page), Fence, EndOfFence);

    /// <summary>What a test among these examples compiles for a page, without its indentation.</summary>
    public static IReadOnlyList<string> Compiled(string test, string page) =>
        [.. Between(Read("tests", "Acquire.Sources.Tests", "Examples", test), $"// begin example {page}\n", EndOfExample).Select(WithoutIndentation)];

    private static string WithoutIndentation(string lines)
    {
        string[] all = lines.Split('\n')[..^1];
        int indentation = all.Where(line => line.Length > 0).Min(line => line.Length - line.TrimStart().Length);
        return string.Concat(all.Select(line => line[Math.Min(indentation, line.Length)..] + "\n"));
    }

    private static List<string> Between(string text, string begin, string end)
    {
        List<string> found = [];
        for (int at = text.IndexOf(begin, StringComparison.Ordinal); at >= 0; at = text.IndexOf(begin, at, StringComparison.Ordinal))
        {
            at += begin.Length;
            found.Add(text[at..text.IndexOf(end, at, StringComparison.Ordinal)]);
        }

        return found;
    }

    private static string Read(params string[] path)
    {
        for (DirectoryInfo? folder = new(AppContext.BaseDirectory); folder is not null; folder = folder.Parent)
            if (File.Exists(Path.Combine(folder.FullName, "Acquire.sln"))) return File.ReadAllText(Path.Combine([folder.FullName, .. path])).ReplaceLineEndings("\n");
        throw new InvalidOperationException($"No folder above {AppContext.BaseDirectory} holds Acquire.sln; run the tests from a working tree.");
    }
}
