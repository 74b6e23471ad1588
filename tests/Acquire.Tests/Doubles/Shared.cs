namespace Acquire.Tests.Doubles;

/// <summary>Reference data that lie beside the repository and are not part of it.</summary>
internal static class Shared
{
    /// <summary>Path of a reference file; skips the test where there is none.</summary>
    public static string Reference(string relative)
    {
        for (DirectoryInfo? folder = new(AppContext.BaseDirectory); folder is not null; folder = folder.Parent)
        {
            string path = Path.Combine(folder.FullName, "shared", "reference", relative);
            if (File.Exists(path)) return path;
        }

        Assert.Skip($"The reference file {relative} does not lie beside the repository.");
        return relative;
    }
}
