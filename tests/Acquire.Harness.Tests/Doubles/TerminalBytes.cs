namespace Acquire.Harness.Tests.Doubles;

/// <summary>Reads a pseudo-terminal as any program may.</summary>
internal static class TerminalBytes
{
    /// <summary>Reads until the other side hangs up.</summary>
    /// <param name="path">The terminal.</param>
    /// <param name="after">Bytes after which <paramref name="then"/> is called once.</param>
    /// <param name="then">What happens then.</param>
    public static byte[] ReadToHangUp(string path, int after = int.MaxValue, Action? then = null)
    {
        using FileStream terminal = new(path, FileMode.Open, FileAccess.Read, FileShare.ReadWrite, bufferSize: 0);
        using MemoryStream all = new();
        byte[] buffer = new byte[64 * 1024];
        try
        {
            while (terminal.Read(buffer) is > 0 and var count)
            {
                all.Write(buffer, 0, count);
                if (all.Length < after) continue;
                after = int.MaxValue;
                then?.Invoke();
            }
        }
        catch (IOException)
        {
            // That is how a terminal says that the other side has gone.
        }

        return all.ToArray();
    }
}
