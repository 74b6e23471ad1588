namespace Acquire.Imaging.Layout;

/// <summary>Which point of a text lies at the given x.</summary>
internal enum Align
{
    Left,
    Centre,
    Right,
}
