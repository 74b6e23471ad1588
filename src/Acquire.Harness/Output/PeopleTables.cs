using Spectre.Console;

namespace Acquire.Harness.Output;

/// <summary>Tables and lines for people: drawn to fit a terminal, plain and unwrapped when redirected.</summary>
internal sealed class PeopleTables
{
    private const int RedirectedWidth = 160;

    private readonly IAnsiConsole _console;
    private readonly bool _plain;

    /// <summary>Writes to standard output or whatever stands for it.</summary>
    /// <param name="output">Gets the text.</param>
    /// <param name="plain">Whether nobody looks at it on a terminal.</param>
    public PeopleTables(TextWriter output, bool plain)
    {
        _console = AnsiConsole.Create(new AnsiConsoleSettings
        {
            Out = new AnsiConsoleOutput(output),
            Ansi = plain ? AnsiSupport.No : AnsiSupport.Detect,
            ColorSystem = plain ? ColorSystemSupport.NoColors : ColorSystemSupport.Detect,
            Interactive = InteractionSupport.No,
        });
        _plain = plain;
        if (plain) _console.Profile.Width = RedirectedWidth;
    }

    /// <summary>A table with a heading.</summary>
    /// <param name="heading">One line above it.</param>
    /// <param name="columns">Column heads; one that begins with &gt; is aligned to the right.</param>
    /// <param name="rows">One entry per column.</param>
    public void Table(string heading, string[] columns, IEnumerable<string[]> rows)
    {
        Table table = new() { Border = TableBorder.None, ShowHeaders = true };
        for (int c = 0; c < columns.Length; c++)
        {
            string column = columns[c];
            bool right = column.StartsWith('>');
            TableColumn tableColumn = new(new Text(right ? column[1..] : column, new Style(decoration: Decoration.Dim))) { NoWrap = true };
            if (right) tableColumn.Alignment = Justify.Right;
            tableColumn.Padding = new Padding(0, 0, c < columns.Length - 1 ? 3 : 0, 0);
            table.AddColumn(tableColumn);
        }

        foreach (string[] row in rows) table.AddRow(row.Select(cell => (Spectre.Console.Rendering.IRenderable)new Text(cell)).ToArray());
        Line(heading);
        _console.Write(new Padder(table, new Padding(2, 0, 0, 0)));
        Line("");
    }

    /// <summary>A line of text.</summary>
    /// <param name="text">Printed as it is.</param>
    public void Line(string text)
    {
        // Wrapping is for those who look at it; a file or pipe gets lines as they are.
        if (_plain) _console.Profile.Out.Writer.WriteLine(text);
        else _console.WriteLine(text);
    }
}
