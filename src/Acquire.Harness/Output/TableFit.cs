namespace Acquire.Harness.Output;

/// <summary>How the columns of a table go into a width without a number or word being broken.</summary>
/// <param name="Widths">Characters of each column.</param>
/// <param name="Gap">Spaces between two columns.</param>
/// <param name="Fits">Whether it goes in at all; otherwise the widths are those of whole lines.</param>
internal sealed record TableFit(int[] Widths, int Gap, bool Fits)
{
    private const int WidestGap = 3;

    /// <summary>Whole heads where there is room; then heads broken at spaces; then narrower gaps.</summary>
    /// <param name="heads">Column heads.</param>
    /// <param name="rows">One entry per column.</param>
    /// <param name="width">Characters that a line may have.</param>
    public static TableFit Of(string[] heads, string[][] rows, int width)
    {
        int[] whole = [.. heads.Select((head, c) => Math.Max(Math.Max(1, head.Length), WidestCell(rows, c)))];
        if (Total(whole, WidestGap) <= width) return new(whole, WidestGap, Fits: true);
        int[] broken = [.. heads.Select((head, c) => Math.Max(head.Length == 0 ? 1 : head.Split(' ').Max(word => word.Length), WidestCell(rows, c)))];
        for (int gap = WidestGap; gap > 0; gap--)
            if (Total(broken, gap) <= width) return new(broken, gap, Fits: true);
        return new(whole, WidestGap, Fits: false);
    }

    private static long Total(int[] widths, int gap) => widths.Sum(w => (long)w) + ((long)gap * (widths.Length - 1));

    private static int WidestCell(string[][] rows, int column) => rows.Length == 0 ? 0 : rows.Max(row => column < row.Length ? row[column].Length : 0);
}
