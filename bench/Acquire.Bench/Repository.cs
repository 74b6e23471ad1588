namespace Acquire.Bench;

/// <summary>The clone that the bench was built in.</summary>
internal static class Repository
{
    /// <summary>Folder of the solution, found by walking up from the program.</summary>
    public static string Folder { get; } = Find();

    private static string Find()
    {
        DirectoryInfo? folder = new(AppContext.BaseDirectory);
        while (folder is not null && !File.Exists(Path.Combine(folder.FullName, "Acquire.sln"))) folder = folder.Parent;
        return folder?.FullName ?? throw new DirectoryNotFoundException("No folder above the program holds Acquire.sln.");
    }
}
