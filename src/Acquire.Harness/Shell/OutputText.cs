using System.Text;

namespace Acquire.Harness.Shell;

/// <summary>Text for standard output whose failures say what failed and what to do.</summary>
/// <param name="output">Where the text goes; not closed.</param>
internal sealed class OutputText(TextWriter output) : TextWriter
{
    public override Encoding Encoding => output.Encoding;

    public override void Write(char value) => Try(() => output.Write(value));

    public override void Write(char[] buffer, int index, int count) => Try(() => output.Write(buffer, index, count));

    public override void Write(string? value) => Try(() => output.Write(value));

    public override void WriteLine(string? value) => Try(() => output.WriteLine(value));

    public override void Flush() => Try(output.Flush);

    /// <summary>Does something that writes to standard output.</summary>
    /// <exception cref="CommandFailure">Standard output is closed, or takes no more.</exception>
    public static void Try(Action write)
    {
        try
        {
            write();
        }
        catch (UnauthorizedAccessException exception)
        {
            throw StandardOutput.Closed(exception);
        }
        catch (Exception exception) when (WriteCure.IsRefusal(exception))
        {
            throw StandardOutput.Failed(exception);
        }
    }
}
