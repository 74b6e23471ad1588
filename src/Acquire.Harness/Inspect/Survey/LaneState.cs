namespace Acquire.Harness.Inspect.Survey;

/// <summary>A leg under way in one of the stretches of <see cref="LegLanes"/>: all that what follows depends on.</summary>
/// <param name="Flip">0 in a leg that rises; all bits in one that falls, whose codes stand here as their complements.</param>
/// <param name="Start">Code of the turning point before.</param>
/// <param name="Extreme">Furthest code.</param>
/// <param name="ExtremeOfSums">Code at the end of the measured part.</param>
/// <param name="From">Place of the last code beside the start; places count from the first early code.</param>
/// <param name="At">Place of the measured part's end.</param>
/// <param name="FromAtExtreme">Place of the measured part's begin.</param>
internal readonly record struct LaneState(ushort Flip, ushort Start, ushort Extreme, ushort ExtremeOfSums, ushort From, ushort At, ushort FromAtExtreme)
{
    /// <summary>The same leg as the next stretch counts places; those before its early codes are beyond all of its own.</summary>
    /// <param name="rows">Codes in a stretch.</param>
    public LaneState Before(int rows) => this with { From = (ushort)(From - rows), At = (ushort)(At - rows), FromAtExtreme = (ushort)(FromAtExtreme - rows) };
}
