namespace Acquire.Imaging.Tests.Doubles;

/// <summary>Finds programs on the search path.</summary>
internal static class Tools
{
    public static string? Find(params string[] names) =>
        (Environment.GetEnvironmentVariable("PATH") ?? "").Split(Path.PathSeparator, StringSplitOptions.RemoveEmptyEntries)
            .SelectMany(folder => names.Select(name => Path.Combine(folder, name)))
            .FirstOrDefault(File.Exists);
}
