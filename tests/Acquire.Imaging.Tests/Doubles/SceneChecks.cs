using Acquire.Imaging.Scenes;

namespace Acquire.Imaging.Tests.Doubles;

/// <summary>Finds what a reader would call overlapping or cut.</summary>
internal static class SceneChecks
{
    /// <summary>Sentences on every pair of texts or symbols that overlap, and on each that leaves the sheet. A text inside a symbol belongs to it.</summary>
    public static List<string> Faults(Scene scene)
    {
        var items = new List<(string Name, Box Box)>();
        Collect(scene.Elements, items);
        var sheet = new Box(0, 0, scene.Width, scene.Height);
        List<string> faults = [.. items.Where(i => !sheet.Contains(i.Box)).Select(i => $"'{i.Name}' leaves the sheet: {i.Box}")];
        for (int a = 0; a < items.Count; a++)
        {
            for (int b = a + 1; b < items.Count; b++)
            {
                if (items[a].Box.Overlaps(items[b].Box)) faults.Add($"'{items[a].Name}' {items[a].Box} overlaps '{items[b].Name}' {items[b].Box}");
            }
        }

        return faults;
    }

    private static void Collect(IEnumerable<SceneElement> elements, List<(string Name, Box Box)> items)
    {
        foreach (SceneElement element in elements)
        {
            switch (element)
            {
                case TextElement text when !text.Path.IsEmpty: items.Add((text.Text, text.Box)); break;
                case GroupElement { Symbol: { } symbol } group:
                    items.Add((group.Title ?? "symbol", symbol));
                    // What a symbol holds must lie in it, or its box would say too little.
                    foreach (TextElement inner in group.Children.OfType<TextElement>().Where(t => !symbol.Contains(t.Box))) items.Add((inner.Text, inner.Box));
                    break;
                case GroupElement group: Collect(group.Children, items); break;
                default: break;
            }
        }
    }
}
