using System.Text;

namespace Acquire.Harness.Shell;

/// <summary>Standard error that takes no more is passed over: what it was to say has nowhere else to go, and neither the exit code nor a capture under way may be lost for it.</summary>
/// <param name="error">Where the text goes; not closed.</param>
internal sealed class ErrorText(TextWriter error) : TextWriter
{
    public override Encoding Encoding => error.Encoding;

    public override void Write(char value) => Try(() => error.Write(value));

    public override void Write(char[] buffer, int index, int count) => Try(() => error.Write(buffer, index, count));

    public override void Write(string? value) => Try(() => error.Write(value));

    public override void WriteLine(string? value) => Try(() => error.WriteLine(value));

    public override void Flush() => Try(error.Flush);

    // A full disk or a reader that has gone is the one, a descriptor that was never open the other.
    private static void Try(Action write)
    {
        try
        {
            write();
        }
        catch (Exception exception) when (WriteCure.IsRefusal(exception))
        {
        }
    }
}
