namespace Acquire.Recordings.Tests.Doubles;

/// <summary>Reference files that lie in a folder beside the repository on developers' machines.</summary>
internal static class Shared
{
    /// <summary>Path of a reference file; skips the test where there is none.</summary>
    public static string File(string relative)
    {
        for (var folder = new DirectoryInfo(AppContext.BaseDirectory); folder is not null; folder = folder.Parent)
        {
            string path = Path.Combine(folder.FullName, "shared", "reference", relative);
            if (System.IO.File.Exists(path)) return path;
        }

        Assert.Skip($"The reference file {relative} is not beside this repository.");
        return "";
    }
}
