using System.Numerics;

namespace Acquire.Scales;

/// <summary>Logarithms to base 2, several at a time.</summary>
/// <remarks>
/// By sums, products and quotients alone, each rounded once as IEEE 754 says, so that the bits are the same on every machine and at every
/// width of its vectors. The way of fdlibm's e_log.c (Sun Microsystems, 1993): x = 2^k (1 + f) with 1 + f from the root of 1/2 to the root of 2;
/// with s = f / (2 + f), log(1 + f) = 2 s + s^3 (2/3 + 2/5 s^2 ...), whose rest a polynomial gives to 2^-58.
/// </remarks>
internal static class BinaryLogarithm
{
    private const int ExponentBits = 11;
    private const int MantissaBits = 63 - ExponentBits;
    private const double PerNatural = 1.4426950408889634;

    // The root of 1/2, and how far a number's bits are raised so that those from there on have the next exponent.
    private const long RootOfHalf = 0x3FE6A09E667F3BCD;
    private const long Raise = 0x3FF0000000000000 - RootOfHalf;

    // 2^52, whose last bits count ones.
    private const long CountsOnes = 0x4330000000000000;
    private const double Bias = (1L << MantissaBits) + 1_023.0;

    private const double LeastNormal = 2.2250738585072014e-308;

    /// <summary>Logarithm of each lane, as the platform has it for what is not a positive normal number.</summary>
    public static Vector<double> Of(Vector<double> x)
    {
        Vector<double> result = OfNormal(x);
        Vector<long> normal = Vector.GreaterThanOrEqual(x, new Vector<double>(LeastNormal)) & Vector.LessThanOrEqual(x, new Vector<double>(double.MaxValue));
        return normal == Vector<long>.AllBitsSet ? result : Vector.ConditionalSelect(normal, result, Vector.Log2(x));
    }

    private static Vector<double> OfNormal(Vector<double> x)
    {
        Vector<long> raised = Vector.AsVectorInt64(x) + new Vector<long>(Raise);
        Vector<double> exponent = Vector.AsVectorDouble(Vector.ShiftRightLogical(raised, MantissaBits) | new Vector<long>(CountsOnes)) - new Vector<double>(Bias);
        Vector<double> f = Vector.AsVectorDouble((raised & new Vector<long>((1L << MantissaBits) - 1)) + new Vector<long>(RootOfHalf)) - Vector<double>.One;
        Vector<double> s = f / (new Vector<double>(2.0) + f), z = s * s, w = z * z, halfSquare = new Vector<double>(0.5) * f * f;
        Vector<double> even = w * (C(3.999999999940941908e-01) + (w * (C(2.222219843214978396e-01) + (w * C(1.531383769920937332e-01)))));
        Vector<double> odd = z * (C(6.666666666666735130e-01) + (w * (C(2.857142874366239149e-01) + (w * (C(1.818357216161805012e-01) + (w * C(1.479819860511658591e-01)))))));
        return exponent + ((f - (halfSquare - (s * (halfSquare + (even + odd))))) * new Vector<double>(PerNatural));
    }

    private static Vector<double> C(double coefficient) => new(coefficient);
}
