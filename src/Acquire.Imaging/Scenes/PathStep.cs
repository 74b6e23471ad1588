namespace Acquire.Imaging.Scenes;

/// <summary>One step of a path.</summary>
internal enum PathStep : byte
{
    Move,
    Line,
    Curve,
    Close,
}
