using Spectre.Console;
using Spectre.Console.Rendering;

namespace Acquire.Harness.Output;

/// <summary>Tables and lines for people: drawn to fit a terminal, plain and unwrapped when redirected.</summary>
internal sealed class PeopleTables
{
    private const int RedirectedWidth = 400;

    private readonly TextWriter _output;
    private readonly bool _plain;

    /// <summary>Writes to standard output or whatever stands for it.</summary>
    /// <param name="output">Gets the text.</param>
    /// <param name="plain">Whether nobody looks at it on a terminal.</param>
    public PeopleTables(TextWriter output, bool plain)
    {
        _output = output;
        _plain = plain;
    }

    /// <summary>A table with a heading.</summary>
    /// <param name="heading">One line above it.</param>
    /// <param name="columns">Column heads; one that begins with &gt; is aligned to the right.</param>
    /// <param name="rows">One entry per column.</param>
    public void Table(string heading, string[] columns, IEnumerable<string[]> rows)
    {
        Table table = new()
        {
            Border = TableBorder.None,
        };
        for (int c = 0; c < columns.Length; c++)
        {
            bool right = columns[c].StartsWith('>');
            table.AddColumn(new TableColumn(new Text(right ? columns[c][1..] : columns[c], new Style(decoration: Decoration.Dim)))
            {
                NoWrap = _plain,
                Alignment = right ? Justify.Right : Justify.Left,
                Padding = new Padding(0, 0, c < columns.Length - 1 ? 3 : 0, 0),
            });
        }

        foreach (string[] row in rows) table.AddRow(row.Select(cell => (IRenderable)new Text(cell)).ToArray());
        Line(heading);
        Write(new Padder(table, new Padding(2, 0, 0, 0)));
        Line("");
    }

    /// <summary>A line of text.</summary>
    /// <param name="text">Printed as it is: a terminal breaks it so that it can still be copied whole.</param>
    public void Line(string text) => _output.WriteLine(text);

    private void Write(IRenderable content)
    {
        if (!_plain)
        {
            AnsiConsole.Create(new AnsiConsoleSettings { Out = new AnsiConsoleOutput(_output), Interactive = InteractionSupport.No }).Write(content);
            return;
        }

        // A file or pipe gets what stands in the table and nothing to fill it up with.
        using StringWriter text = new();
        IAnsiConsole console = AnsiConsole.Create(new AnsiConsoleSettings
        {
            Out = new AnsiConsoleOutput(text),
            Ansi = AnsiSupport.No,
            ColorSystem = ColorSystemSupport.NoColors,
            Interactive = InteractionSupport.No,
        });
        console.Profile.Width = RedirectedWidth;
        console.Write(content);
        foreach (string line in text.ToString().TrimEnd('\n').Split('\n')) _output.WriteLine(line.TrimEnd());
    }
}
