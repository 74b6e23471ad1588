using System.Numerics;
using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;
using System.Runtime.Intrinsics;

namespace Acquire.Scales;

/// <summary>Ratios as levels, several at a time; one alone has the same bits.</summary>
internal static class Decibels
{
    // log10(2)
    private const double LogOfTwo = 0.301029995663981195;

    /// <summary>Levels in decibels; negative infinity for nothing or less, NaN stays.</summary>
    /// <param name="ratios">Ratios of voltage or power.</param>
    /// <param name="perDecade">Decibels per factor of ten: 20 for voltage, 10 for power.</param>
    /// <param name="ofOne">Level of the ratio 1.</param>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Vector<double> Of(Vector<double> ratios, double perDecade, double ofOne)
    {
        Vector<double> levels = new Vector<double>(ofOne) + (new Vector<double>(perDecade * LogOfTwo) * Vector.Log2(ratios));
        return Vector.ConditionalSelect(Vector.LessThanOrEqual(ratios, Vector<double>.Zero), new Vector<double>(double.NegativeInfinity), levels);
    }

    /// <summary>As <see cref="Of(Vector{double}, double, double)"/>, for processors on which so many go as fast.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Vector512<double> Of(Vector512<double> ratios, double perDecade, double ofOne)
    {
        Vector512<double> levels = Vector512.Create(ofOne) + (Vector512.Create(perDecade * LogOfTwo) * Vector512.Log2(ratios));
        return Vector512.ConditionalSelect(Vector512.LessThanOrEqual(ratios, Vector512<double>.Zero), Vector512.Create(double.NegativeInfinity), levels);
    }

    /// <summary>Level of one ratio.</summary>
    public static double Of(double ratio, double perDecade, double ofOne) => Of(new Vector<double>(ratio), perDecade, ofOne)[0];

    /// <summary>Replaces ratios by their levels.</summary>
    public static void Make(Span<double> ratios, double perDecade, double ofOne)
    {
        ref double first = ref MemoryMarshal.GetReference(ratios);
        int i = 0;
        for (; Vector512.IsHardwareAccelerated && i <= ratios.Length - Vector512<double>.Count; i += Vector512<double>.Count)
            Of(Vector512.LoadUnsafe(ref first, (nuint)i), perDecade, ofOne).StoreUnsafe(ref first, (nuint)i);
        for (; i <= ratios.Length - Vector<double>.Count; i += Vector<double>.Count)
            Of(Vector.LoadUnsafe(ref first, (nuint)i), perDecade, ofOne).StoreUnsafe(ref first, (nuint)i);
        foreach (ref double ratio in ratios[i..]) ratio = Of(ratio, perDecade, ofOne);
    }
}
