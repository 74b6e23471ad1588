using Acquire.Harness.Shell;

namespace Acquire.Harness.Instrument;

/// <summary>A symbolic link to a terminal, for as long as it is served.</summary>
internal sealed class TerminalLink : IDisposable
{
    private readonly string _path;
    private readonly string _target;

    /// <summary>Makes the link; one that leads to another terminal, left by an instrument that was killed, is replaced.</summary>
    /// <param name="path">Its name.</param>
    /// <param name="target">What it leads to.</param>
    /// <exception cref="CommandFailure">Something else stands under that name, or it cannot be made.</exception>
    public TerminalLink(string path, string target)
    {
        _path = path;
        _target = target;
        try
        {
            FileInfo there = new(path);
            if (there.LinkTarget is { } old && old.StartsWith("/dev/pts/", StringComparison.Ordinal)) there.Delete();
            else if (there.Exists || Directory.Exists(path)) throw CommandFailure.Usage("--pty-link", $"{path} is there already and is no link to a terminal; give another name");
            File.CreateSymbolicLink(path, target);
        }
        catch (Exception exception) when (exception is IOException or UnauthorizedAccessException or ArgumentException)
        {
            throw CommandFailure.Unreadable("--pty-link", $"{path} cannot be made: {exception.Message}", exception);
        }
    }

    public void Dispose()
    {
        try
        {
            // Another instrument may have taken the name over meanwhile.
            if (string.Equals(new FileInfo(_path).LinkTarget, _target, StringComparison.Ordinal)) File.Delete(_path);
        }
        catch (Exception exception) when (exception is IOException or UnauthorizedAccessException)
        {
            // It leads nowhere from now on, and the next instrument of that name replaces it.
        }
    }
}
