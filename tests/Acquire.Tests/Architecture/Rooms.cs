using System.Text.RegularExpressions;

namespace Acquire.Tests.Architecture;

/// <summary>Finds references that run against the walk of the data, by reading source text.</summary>
internal static partial class Rooms
{
    /// <summary>Folders of the engine in the order of the walk; <c>Scales</c> stands before all, since all may read it.</summary>
    public static readonly string[] Walk = ["Scales", "Capture", "Sweeps", "Columns", "Traces", "Painting"];

    /// <summary>Projects under src, upper line first: a project references only those above it.</summary>
    public static readonly string[] Projects =
        ["Acquire", "Acquire.Recordings", "Acquire.Link", "Acquire.Sources", "Acquire.Imaging", "Acquire.Harness"];

    /// <summary>Projects that depend on nothing but the base class library and other projects.</summary>
    private static readonly string[] WithoutPackages = ["Acquire", "Acquire.Recordings", "Acquire.Link"];

    /// <summary>One line for each reference in the engine that a rule forbids; the root (folder "") may use all.</summary>
    /// <param name="files">Path below src/Acquire with '/' and text of every source file.</param>
    public static IEnumerable<string> CheckEngine(IReadOnlyCollection<(string Path, string Text)> files)
    {
        var typesOfFolder = files.ToLookup(f => FolderOf(f.Path), f => TypeOf(f.Path), StringComparer.Ordinal);
        foreach ((string path, string text) in files)
        {
            string folder = FolderOf(path);
            string code = WithoutCommentsAndStrings(text);
            string expected = folder.Length == 0 ? "Acquire" : $"Acquire.{folder}";
            string found = NamespaceDeclaration().Match(code).Groups[1].Value;
            if (found.Length > 0 && found != expected) yield return $"{path}: namespace {found} in a folder that stands for {expected}";
            if (folder.Length == 0) continue;
            if (!Walk.Contains(folder))
            {
                yield return $"{path}: folder {folder} has no place in the walk";
                continue;
            }

            foreach (string used in Walk.Where(f => f != folder && !MayUse(folder, f)))
                if (Uses(code, used, typesOfFolder[used])) yield return $"{path}: {folder} uses {used}, which comes later in the walk";
            foreach (string type in typesOfFolder[string.Empty].Where(t => UsesWord(code, t)))
                yield return $"{path}: {folder} uses {type} of the root, which composes the folders";
        }
    }

    /// <summary>One line for each reference of a project that a rule forbids.</summary>
    /// <param name="projects">Name and project file text of every project under src.</param>
    public static IEnumerable<string> CheckProjects(IEnumerable<(string Name, string Text)> projects)
    {
        foreach ((string name, string text) in projects)
        {
            int line = Array.IndexOf(Projects, name);
            if (line < 0)
            {
                yield return $"{name}: the project has no place in the layout";
                continue;
            }

            foreach (Match reference in ProjectReference().Matches(text))
                if (Array.IndexOf(Projects, reference.Groups[1].Value, 0, line) < 0) yield return $"{name}: references {reference.Groups[1].Value}, which is not above it";
            if (WithoutPackages.Contains(name) && text.Contains("<PackageReference", StringComparison.Ordinal)) yield return $"{name}: has a package, but depends on none";
        }
    }

    private static bool MayUse(string folder, string used) => Array.IndexOf(Walk, used) < Array.IndexOf(Walk, folder);

    // By full name, or by a name that starts at the folder, which the enclosing namespace Acquire makes visible. A property may
    // have a folder's name, so there only names of types count.
    private static bool Uses(string code, string folder, IEnumerable<string> types) =>
        Regex.IsMatch(code, $@"\bAcquire\s*\.\s*{folder}\b", RegexOptions.None, Limit)
        || types.Any(type => Regex.IsMatch(code, $@"(?<![\w.]){folder}\s*\.\s*{type}\b", RegexOptions.None, Limit));

    private static bool UsesWord(string code, string type) => Regex.IsMatch(code, $@"(?<![\w.]){type}\b", RegexOptions.None, Limit);

    private static string FolderOf(string path) => path.Contains('/') ? path[..path.IndexOf('/')] : string.Empty;

    private static string TypeOf(string path) => Path.GetFileName(path).Split('.')[0];

    private static string WithoutCommentsAndStrings(string text) => CommentOrString().Replace(text, " ");

    private static readonly TimeSpan Limit = TimeSpan.FromSeconds(5);

    [GeneratedRegex(@"//[^\n]*|/\*.*?\*/|""(?:\\.|""""|[^""\\\n])*""|'(?:\\.|[^'\\\n])'", RegexOptions.Singleline, matchTimeoutMilliseconds: 5_000)]
    private static partial Regex CommentOrString();

    [GeneratedRegex(@"\bnamespace\s+([\w.]+)", RegexOptions.None, matchTimeoutMilliseconds: 5_000)]
    private static partial Regex NamespaceDeclaration();

    [GeneratedRegex(@"<ProjectReference\s+Include=""[^""]*?([\w.]+)\.csproj""", RegexOptions.None, matchTimeoutMilliseconds: 5_000)]
    private static partial Regex ProjectReference();
}
