using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;
using System.Runtime.Intrinsics;
using Acquire.Capture;

namespace Acquire.Columns;

/// <summary>Which of 64 scans have a ramp code within a range.</summary>
[StructLayout(LayoutKind.Auto)]
internal struct ChosenScans
{
    /// <summary>All ones for each scan of the first 16 that is chosen.</summary>
    public Vector256<ushort> A;

    /// <summary>The second 16.</summary>
    public Vector256<ushort> B;

    /// <summary>The third 16.</summary>
    public Vector256<ushort> C;

    /// <summary>The last 16.</summary>
    public Vector256<ushort> D;

    /// <summary>The same as bits, the first scan the lowest.</summary>
    public ulong Bits;

    /// <summary>Chooses scans.</summary>
    /// <param name="codes">Place of the first of 64 ramp codes.</param>
    /// <param name="low">Lowest code.</param>
    /// <param name="more">Codes above it that belong to the range too.</param>
    /// <param name="scans">Scans that count: 16, 32, 48 or 64.</param>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static ChosenScans Of(ref ushort codes, ushort low, ushort more, int scans)
    {
        ChosenScans chosen;
        Vector256<ushort> lowest = Vector256.Create(low), width = Vector256.Create(more);
        chosen.A = Vector256.LessThanOrEqual(Vector256.LoadUnsafe(ref codes) - lowest, width);
        chosen.B = scans > 16 ? Vector256.LessThanOrEqual(Vector256.LoadUnsafe(ref codes, 16) - lowest, width) : default;
        chosen.C = scans > 32 ? Vector256.LessThanOrEqual(Vector256.LoadUnsafe(ref codes, 32) - lowest, width) : default;
        chosen.D = scans > 48 ? Vector256.LessThanOrEqual(Vector256.LoadUnsafe(ref codes, 48) - lowest, width) : default;
        chosen.Bits = Lanes.Bits(chosen.A, chosen.B, chosen.C, chosen.D);
        return chosen;
    }
}
