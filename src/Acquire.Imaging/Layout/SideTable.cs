namespace Acquire.Imaging.Layout;

/// <summary>A small table beside the title block. The first column is text, the last one too where it is called so; the rest are numbers.</summary>
/// <param name="Headers">Names of the columns.</param>
/// <param name="Rows">Cells, as printed.</param>
/// <param name="LastIsText">Whether the last column is a remark.</param>
internal sealed record SideTable(IReadOnlyList<string> Headers, IReadOnlyList<IReadOnlyList<string>> Rows, bool LastIsText)
{
    /// <summary>Whether cells need their column's name beside them where the table is set as running text.</summary>
    public bool NeedsNames { get; init; }
}
