namespace Acquire.Painting;

/// <summary>Neighbouring columns, of pixels or of a trace; empty where the end is not past the first.</summary>
internal readonly record struct ColumnRange(int First, int End)
{
    public static readonly ColumnRange Empty = new(int.MaxValue, int.MinValue);

    public bool IsEmpty => First >= End;

    /// <summary>The smallest range that holds both.</summary>
    public ColumnRange With(ColumnRange other) => other.IsEmpty ? this : IsEmpty ? other : new(Math.Min(First, other.First), Math.Max(End, other.End));
}
