using Acquire.Imaging.Lettering;
using Acquire.Imaging.Scenes;
using Acquire.Painting;

namespace Acquire.Imaging.Layout;

/// <summary>Names, values and samples one after another, broken into lines where needed; for small sheets.</summary>
internal sealed class Flow(Canvas canvas, double letter)
{
    private readonly List<List<Word>> _entries = [];

    public int Count => _entries.Count;

    public double Pitch => Math.Ceiling(letter * 1.7);

    /// <summary>Adds a name and its value.</summary>
    public void Add(string? name, string value)
    {
        var words = new List<Word>();
        if (name is not null) AddWords(words, name, canvas.Style.SoftInk);
        AddWords(words, value, canvas.Style.Ink);
        if (words.Count > 0) _entries.Add(words);
    }

    /// <summary>Adds a drawn sample and its name.</summary>
    public void AddSample(double width, Action<double, double> draw, string label)
    {
        var words = new List<Word> { new("", canvas.Style.Ink, 0, width, draw) };
        AddWords(words, label, canvas.Style.Ink);
        _entries.Add(words);
    }

    /// <summary>Adds the cells of a table's row, the first as a name; the others with their column's names where these are given.</summary>
    public void AddCells(IReadOnlyList<string> cells, IReadOnlyList<string>? names)
    {
        var words = new List<Word>();
        AddWords(words, cells[0], canvas.Style.SoftInk);
        for (int i = 1; i < cells.Count; i++)
        {
            int from = words.Count;
            if (names is not null) AddWords(words, names[i], canvas.Style.SoftInk);
            AddWords(words, cells[i], canvas.Style.Ink);
            if (from > 0 && words.Count > from) words[from] = words[from] with { Gap = letter };
        }

        _entries.Add(words);
    }

    /// <summary>Lines needed at a width. Where that is too many, long entries are shortened; what still does not fit is counted in a last one.</summary>
    public List<List<PlacedWord>> Lay(double width, int maxLines)
    {
        foreach (double share in (double[])[double.PositiveInfinity, 0.95, 0.6, 0.45])
        {
            List<List<PlacedWord>> whole = Break([.. _entries.Select(e => Limit(e, share * width))], width);
            if (whole.Count <= maxLines) return whole;
        }

        for (int count = _entries.Count - 1; count >= 0; count--)
        {
            List<List<Word>> shown = [.. _entries.Take(count).Select(e => Limit(e, 0.45 * width))];
            if (count < _entries.Count) shown.Add([new Word($"… {_entries.Count - count} more", canvas.Style.SoftInk, 0)]);
            List<List<PlacedWord>> lines = Break(shown, width);
            if (lines.Count <= maxLines || count == 0) return lines;
        }

        return [];
    }

    /// <summary>Draws lines, the first one's letters standing on a baseline.</summary>
    public void Draw(List<List<PlacedWord>> lines, double left, double firstBaseline)
    {
        double baseline = firstBaseline;
        foreach (List<PlacedWord> line in lines)
        {
            foreach (PlacedWord word in line)
            {
                if (word.Draw is { } draw) draw(left + word.Left, baseline);
                else canvas.Text(word.Text, left + word.Left, baseline, letter, word.Colour);
            }

            baseline += Pitch;
        }
    }

    // Keeps the words that fit and shortens the one that does not.
    private List<Word> Limit(List<Word> entry, double width)
    {
        double end = 0;
        for (int i = 0; i < entry.Count; i++)
        {
            double left = end + entry[i].Gap;
            end = left + Width(entry[i]);
            if (end <= width || entry[i].Draw is not null) continue;
            string shortened = Letterer.Shorten(entry[i].Text + (i < entry.Count - 1 ? "…" : ""), letter, width - left);
            if (shortened.Length > 0 || i == 0) return [.. entry.Take(i), entry[i] with { Text = shortened }];
            return [.. entry.Take(i - 1), entry[i - 1] with { Text = entry[i - 1].Text.TrimEnd('…') + "…" }];
        }

        return entry;
    }

    private void AddWords(List<Word> words, string text, Colour colour)
    {
        foreach (string word in text.Split(' ', StringSplitOptions.RemoveEmptyEntries))
        {
            double gap = words.Count == 0 ? 0 : letter * (words[^1].Draw is not null ? 0.9 : words[^1].Colour == colour ? 0.55 : 0.75);
            words.Add(new Word(word, colour, gap));
        }
    }

    private List<List<PlacedWord>> Break(List<List<Word>> entries, double width)
    {
        var lines = new List<List<PlacedWord>>();
        var line = new List<PlacedWord>();
        double end = 0;
        foreach (List<Word> entry in entries)
        {
            // An entry that fits into one line is not torn apart.
            double needed = entry.Sum(w => w.Gap + Width(w));
            if (line.Count > 0 && needed <= width && end + (letter * 1.8) + needed > width) NewLine();
            for (int i = 0; i < entry.Count; i++)
            {
                double gap = line.Count == 0 ? 0 : i == 0 ? letter * 1.8 : entry[i].Gap;
                string text = Letterer.Shorten(entry[i].Text, letter, width);
                double wordWidth = entry[i].Draw is null ? Letterer.Measure(text, letter) : entry[i].SampleWidth;
                if (line.Count > 0 && end + gap + wordWidth > width)
                {
                    NewLine();
                    gap = 0;
                }

                line.Add(new PlacedWord(text, entry[i].Colour, end + gap, entry[i].Draw));
                end += gap + wordWidth;
            }
        }

        if (line.Count > 0) lines.Add(line);
        return lines;

        void NewLine()
        {
            lines.Add(line);
            line = [];
            end = 0;
        }
    }

    private double Width(Word word) => word.Draw is null ? Letterer.Measure(word.Text, letter) : word.SampleWidth;

    internal readonly record struct PlacedWord(string Text, Colour Colour, double Left, Action<double, double>? Draw);

    private readonly record struct Word(string Text, Colour Colour, double Gap, double SampleWidth = 0, Action<double, double>? Draw = null);
}
