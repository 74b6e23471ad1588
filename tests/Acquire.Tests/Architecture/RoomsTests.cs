namespace Acquire.Tests.Architecture;

public class RoomsTests
{
    [Fact]
    public void Engine_EveryFolder_UsesOnlyFoldersBeforeItInTheWalk()
    {
        string root = Path.Combine(RepositoryRoot(), "src", "Acquire");
        (string, string)[] files = [.. Directory.EnumerateFiles(root, "*.cs", SearchOption.AllDirectories)
            .Select(f => (Path: Path.GetRelativePath(root, f).Replace('\\', '/'), File: f))
            .Where(f => !f.Path.StartsWith("bin/", StringComparison.Ordinal) && !f.Path.StartsWith("obj/", StringComparison.Ordinal))
            .Select(f => (f.Path, File.ReadAllText(f.File)))];

        Assert.True(files.Length > 20, $"Only {files.Length} source files were found under {root}.");
        Assert.Empty(Rooms.CheckEngine(files));
    }

    [Fact]
    public void Projects_EveryReference_PointsUpwards()
    {
        (string, string)[] projects = [.. Directory.EnumerateFiles(Path.Combine(RepositoryRoot(), "src"), "*.csproj", SearchOption.AllDirectories)
            .Select(f => (Path.GetFileNameWithoutExtension(f), File.ReadAllText(f)))];

        Assert.Contains(projects, p => p.Item1 == "Acquire.Harness");
        Assert.Empty(Rooms.CheckProjects(projects));
    }

    [Theory]
    [InlineData("Columns/A.cs", "namespace Acquire.Columns;\nusing Acquire.Traces;", "Columns uses Traces")]
    [InlineData("Capture/A.cs", "namespace Acquire.Capture;\nclass A { global::Acquire.Sweeps.B b; }", "Capture uses Sweeps")]
    [InlineData("Sweeps/A.cs", "namespace Acquire.Sweeps;\nclass A { Traces.Trace t; }", "Sweeps uses Traces")]
    [InlineData("Scales/A.cs", "namespace Acquire.Scales;\nusing static Acquire.Columns.B;", "Scales uses Columns")]
    [InlineData("Traces/A.cs", "namespace Acquire.Traces;\nusing P = Acquire . Painting.B;", "Traces uses Painting")]
    [InlineData("Traces/A.cs", "namespace Acquire.Traces;\nclass A { SweepEngine e; }", "SweepEngine of the root")]
    [InlineData("Traces/A.cs", "namespace Acquire.Scales;", "namespace Acquire.Scales")]
    [InlineData("Extras/A.cs", "namespace Acquire.Extras;", "has no place in the walk")]
    public void CheckEngine_ForbiddenReference_NamesIt(string path, string text, string expected)
    {
        (string, string)[] files = [(path, text), ("SweepEngine.cs", "namespace Acquire;"), ("Traces/Trace.cs", "namespace Acquire.Traces;")];

        Assert.Contains(expected, Assert.Single(Rooms.CheckEngine(files)));
    }

    [Theory]
    [InlineData("Painting/A.cs", "namespace Acquire.Painting;\nusing Acquire.Traces;\nusing Acquire.Scales;\nusing Acquire.Capture;")]
    [InlineData("SweepEngine.cs", "namespace Acquire;\nusing Acquire.Painting;\nusing Acquire.Traces;")]
    [InlineData("Columns/A.cs", "namespace Acquire.Columns;\n// using Acquire.Traces;\n/* Traces.Trace */ class A { string s = \"Acquire.Traces\"; }")]
    [InlineData("Capture/A.cs", "namespace Acquire.Capture;\nclass A { int x = b.Columns.Count + Columns.Count; }")]
    public void CheckEngine_AllowedReference_FindsNothing(string path, string text)
    {
        (string, string)[] files = [(path, text), ("Setup.cs", "namespace Acquire;"), ("Traces/Trace.cs", "namespace Acquire.Traces;"), ("Columns/Grid.cs", "namespace Acquire.Columns;")];

        Assert.Empty(Rooms.CheckEngine(files));
    }

    [Theory]
    [InlineData("Acquire", "<ProjectReference Include=\"../Acquire.Recordings/Acquire.Recordings.csproj\" />", "references Acquire.Recordings")]
    [InlineData("Acquire.Link", "<ProjectReference Include=\"..\\Acquire.Sources\\Acquire.Sources.csproj\" />", "references Acquire.Sources")]
    [InlineData("Acquire.Sources", "<ProjectReference Include=\"../../tests/Acquire.Tests/Acquire.Tests.csproj\" />", "references Acquire.Tests")]
    [InlineData("Acquire", "<PackageReference Include=\"Something\" />", "has a package")]
    [InlineData("Acquire.Extras", "", "has no place")]
    public void CheckProjects_ForbiddenReference_NamesIt(string name, string text, string expected) =>
        Assert.Contains(expected, Assert.Single(Rooms.CheckProjects([(name, text)])));

    [Fact]
    public void CheckProjects_ReferenceUpwards_FindsNothing() =>
        Assert.Empty(Rooms.CheckProjects([("Acquire.Sources", "<PackageReference Include=\"P\" /><ProjectReference Include=\"../Acquire/Acquire.csproj\" />")]));

    private static string RepositoryRoot()
    {
        for (DirectoryInfo? folder = new(AppContext.BaseDirectory); folder is not null; folder = folder.Parent)
            if (File.Exists(Path.Combine(folder.FullName, "Acquire.sln"))) return folder.FullName;
        throw new InvalidOperationException($"No folder above {AppContext.BaseDirectory} holds Acquire.sln; run the tests from a working tree.");
    }
}
