using Acquire.Harness.Shell;
using Spectre.Console;
using Spectre.Console.Rendering;

namespace Acquire.Harness.Output;

/// <summary>Tables and lines for people: drawn to fit a terminal, plain and unwrapped when redirected.</summary>
internal sealed class PeopleTables
{
    private const int RedirectedWidth = 400;
    private const int Indent = 2;

    private readonly TextWriter _output;
    private readonly bool _plain;
    private readonly int? _width;

    /// <summary>Writes to standard output or whatever stands for it.</summary>
    /// <param name="output">Gets the text.</param>
    /// <param name="plain">Whether nobody looks at it on a terminal.</param>
    /// <param name="width">Characters of a line on the terminal; null asks it.</param>
    public PeopleTables(TextWriter output, bool plain, int? width = null)
    {
        _output = output;
        _plain = plain;
        _width = width;
    }

    /// <summary>A table with a heading.</summary>
    /// <param name="heading">One line above it.</param>
    /// <param name="columns">Column heads; one that begins with &gt; is aligned to the right.</param>
    /// <param name="rows">One entry per column.</param>
    public void Table(string heading, string[] columns, IEnumerable<string[]> rows)
    {
        string[][] cells = [.. rows.Select(row => row.Select(VisibleText.Whole).ToArray())];
        string[] heads = [.. columns.Select(column => column.TrimStart('>'))];
        IAnsiConsole? terminal = _plain ? null : Terminal();
        TableFit fit = TableFit.Of(heads, cells, terminal is null ? RedirectedWidth : terminal.Profile.Width - Indent);
        if (!fit.Fits) terminal = null;
        Table table = new()
        {
            Border = TableBorder.None,
        };
        for (int c = 0; c < columns.Length; c++)
        {
            bool right = columns[c].StartsWith('>');
            table.AddColumn(new TableColumn(new Text(heads[c], new Style(decoration: Decoration.Dim)))
            {
                NoWrap = terminal is null,
                Width = terminal is null ? null : fit.Widths[c],
                Alignment = right ? Justify.Right : Justify.Left,
                Padding = new Padding(0, 0, c < columns.Length - 1 ? fit.Gap : 0, 0),
            });
        }

        foreach (string[] row in cells) table.AddRow(row.Select(cell => (IRenderable)new Text(cell)).ToArray());
        Line(heading);
        Write(new Padder(table, new Padding(Indent, 0, 0, 0)), terminal);
        Line("");
    }

    /// <summary>A line of text.</summary>
    /// <param name="text">Printed unwrapped: a terminal breaks it so that it can still be copied whole. What a terminal would obey is written out.</param>
    public void Line(string text) => Put(VisibleText.Whole(text));

    private void Put(string line) => StandardOutput.Try(() => _output.WriteLine(line));

    private IAnsiConsole Terminal()
    {
        IAnsiConsole terminal = AnsiConsole.Create(new AnsiConsoleSettings { Out = new AnsiConsoleOutput(_output), Interactive = InteractionSupport.No });
        if (_width is { } width) terminal.Profile.Width = width;
        return terminal;
    }

    private void Write(IRenderable content, IAnsiConsole? terminal)
    {
        if (terminal is not null)
        {
            StandardOutput.Try(() => terminal.Write(content));
            return;
        }

        // A file or pipe, and a terminal too narrow for the table, get what stands in the table and nothing to fill it up with.
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
        foreach (string line in text.ToString().TrimEnd('\n').Split('\n')) Put(line.TrimEnd());
    }
}
