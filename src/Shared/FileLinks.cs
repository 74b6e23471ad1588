namespace Acquire;

/// <summary>Where symbolic links lead.</summary>
/// <remarks>Compiled into every room that follows them.</remarks>
internal static class FileLinks
{
    /// <summary>The file that a name stands for in the end.</summary>
    /// <param name="path">Any name, of a link or not, of something that exists or not.</param>
    /// <returns>The name itself where it is no link; otherwise the whole name of what the last link leads to.</returns>
    /// <exception cref="IOException">The links go round in a circle.</exception>
    public static string Followed(string path)
    {
        // Of a link named without a folder the platform takes a relative target as one of the root folder, so it is asked by the whole name.
        string whole = Path.GetFullPath(path);
        return new FileInfo(whole).LinkTarget is null ? path : File.ResolveLinkTarget(whole, returnFinalTarget: true)!.FullName;
    }
}
