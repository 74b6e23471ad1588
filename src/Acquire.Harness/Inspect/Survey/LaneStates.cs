using System.Runtime.Intrinsics;

namespace Acquire.Harness.Inspect.Survey;

/// <summary>The legs under way in all stretches of <see cref="LegLanes"/>, each part of them together.</summary>
internal sealed class LaneStates
{
    /// <summary>Parts, in the order of <see cref="LaneState"/>.</summary>
    public const int Flip = 0, Start = 1, Extreme = 2, ExtremeOfSums = 3, From = 4, At = 5, FromAtExtreme = 6;

    private readonly ushort[] _parts = new ushort[7 * LegLanes.Lanes];

    /// <summary>The leg of one stretch.</summary>
    public LaneState this[int lane] => new(Of(Flip, lane), Of(Start, lane), Of(Extreme, lane), Of(ExtremeOfSums, lane), Of(From, lane), Of(At, lane), Of(FromAtExtreme, lane));

    /// <summary>Legs that rise from the first codes.</summary>
    /// <param name="codes">One of each stretch.</param>
    public void Guess(ReadOnlySpan<ushort> codes)
    {
        Vector256<ushort> code = Vector256.Create(codes), none = default;
        Store(none, code, code, code, none, none, none);
    }

    /// <summary>Takes over others.</summary>
    public void Set(LaneStates others) => others._parts.CopyTo(_parts, 0);

    /// <summary>One part of all.</summary>
    public Vector256<ushort> Load(int part) => Vector256.Create(_parts, part * LegLanes.Lanes);

    /// <summary>Sets all parts.</summary>
    public void Store(Vector256<ushort> flip, Vector256<ushort> start, Vector256<ushort> extreme, Vector256<ushort> ofSums, Vector256<ushort> from, Vector256<ushort> at, Vector256<ushort> fromAtExtreme)
    {
        Store(Flip, flip);
        Store(Start, start);
        Store(Extreme, extreme);
        Store(ExtremeOfSums, ofSums);
        Store(From, from);
        Store(At, at);
        Store(FromAtExtreme, fromAtExtreme);
    }

    private void Store(int part, Vector256<ushort> all) => all.CopyTo(_parts, part * LegLanes.Lanes);

    private ushort Of(int part, int lane) => _parts[(part * LegLanes.Lanes) + lane];
}
