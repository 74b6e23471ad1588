using System.Text;

namespace Acquire.Harness.Shell;

/// <summary>Text for a standard stream that may be closed, full, or without a reader.</summary>
internal sealed class GuardedText : TextWriter
{
    private readonly TextWriter _text;
    private readonly Action<Action> _guard;

    private GuardedText(TextWriter text, Action<Action> guard) => (_text, _guard) = (text, guard);

    public override Encoding Encoding => _text.Encoding;

    /// <summary>Standard output, whose failures say what failed and what to do, as <see cref="StandardOutput.Try"/> has it.</summary>
    /// <param name="output">Where the text goes; not closed.</param>
    public static GuardedText ForOutput(TextWriter output) => new(output, StandardOutput.Try);

    /// <summary>Standard error, which is passed over where it takes no more: what it was to say has nowhere else to go, and neither the exit code nor a capture under way may be lost for it.</summary>
    /// <param name="error">Where the text goes; not closed.</param>
    public static GuardedText ForError(TextWriter error) => new(error, PassOver);

    public override void Write(char value) => _guard(() => _text.Write(value));

    public override void Write(char[] buffer, int index, int count) => _guard(() => _text.Write(buffer, index, count));

    public override void Write(string? value) => _guard(() => _text.Write(value));

    public override void WriteLine(string? value) => _guard(() => _text.WriteLine(value));

    public override void Flush() => _guard(_text.Flush);

    // A full disk or a reader that has gone is the one, a descriptor that was never open the other.
    private static void PassOver(Action write)
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
