namespace Acquire.Imaging.Layout;

/// <summary>How far a stretch of a line can be believed; later ones win where two meet.</summary>
internal enum LineManner
{
    Sure,
    Untrusted,
    AtOrBelow,
    Bridged,
}
