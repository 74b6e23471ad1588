using System.Numerics;
using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;
using System.Runtime.Intrinsics;
using System.Runtime.Intrinsics.X86;

namespace Acquire.Link;

/// <summary>CRC and sum of words of the same bytes, in one pass where the processor multiplies polynomials in wide vectors.</summary>
internal static class FrameChecks
{
    private const int Piece = 64;

    // Below, ending the wide pass costs more than it saves.
    private const int FewestWide = 6 * Piece;

    // What stands D bits further on is replaced by a multiple of itself that has the same remainder (V. Gopal et al., Fast CRC Computation
    // for Generic Polynomials Using PCLMULQDQ, 2009): low halves times x^(D+32), high halves times x^(D-32), bits reflected.
    private static readonly Vector128<ulong> OnePiece = Factors(8 * Piece);
    private static readonly Vector128<ulong> TwoPieces = Factors(2 * 8 * Piece);
    private static readonly Vector128<ulong> ThreePieces = Factors(3 * 8 * Piece);
    private static readonly Vector128<ulong> FourPieces = Factors(4 * 8 * Piece);

    /// <summary>Whether the one pass can be taken here.</summary>
    public static bool IsWide => Pclmulqdq.V512.IsSupported && Avx512BW.IsSupported;

    /// <summary>Both checks of a frame: the sum of its first bytes, and the CRC of these and the two behind them.</summary>
    /// <param name="bytes">Bytes that both cover, and two more.</param>
    /// <param name="sum">Sum of words of all but the last two.</param>
    /// <returns>CRC of all.</returns>
    public static uint Of(ReadOnlySpan<byte> bytes, out ushort sum)
    {
        if (IsWide && bytes.Length >= FewestWide) return OfWide(bytes, out sum);
        sum = WordSum.Of(bytes[..^2]);
        return Crc32C.Of(bytes);
    }

    private static uint OfWide(ReadOnlySpan<byte> bytes, out ushort sum)
    {
        ref byte at = ref MemoryMarshal.GetReference(bytes);
        int left = bytes.Length - 2;
        Vector512<byte> start = Vector512.CreateScalar(uint.MaxValue).AsByte();
        Vector512<byte> a = Vector512.LoadUnsafe(ref at);
        Vector512<byte> b = Vector512.LoadUnsafe(ref at, Piece);
        Vector512<byte> c = Vector512.LoadUnsafe(ref at, 2 * Piece);
        Vector512<byte> d = Vector512.LoadUnsafe(ref at, 3 * Piece);
        Vector512<ushort> words = (a.AsUInt16() + b.AsUInt16()) + (c.AsUInt16() + d.AsUInt16());
        Vector512<ulong> a0 = (a ^ start).AsUInt64();
        Vector512<ulong> a1 = b.AsUInt64();
        Vector512<ulong> a2 = c.AsUInt64();
        Vector512<ulong> a3 = d.AsUInt64();
        at = ref Unsafe.Add(ref at, 4 * Piece);
        left -= 4 * Piece;
        for (Vector512<ulong> four = Four(FourPieces); left >= 4 * Piece; left -= 4 * Piece)
        {
            a = Vector512.LoadUnsafe(ref at);
            b = Vector512.LoadUnsafe(ref at, Piece);
            c = Vector512.LoadUnsafe(ref at, 2 * Piece);
            d = Vector512.LoadUnsafe(ref at, 3 * Piece);
            words += (a.AsUInt16() + b.AsUInt16()) + (c.AsUInt16() + d.AsUInt16());
            a0 = Fold(a0, four, a.AsUInt64());
            a1 = Fold(a1, four, b.AsUInt64());
            a2 = Fold(a2, four, c.AsUInt64());
            a3 = Fold(a3, four, d.AsUInt64());
            at = ref Unsafe.Add(ref at, 4 * Piece);
        }

        Vector512<ulong> folded = Fold(a0, Four(ThreePieces), Fold(a1, Four(TwoPieces), Fold(a2, Four(OnePiece), a3)));
        Vector512<ulong> one = Four(OnePiece);
        for (; left >= Piece; left -= Piece)
        {
            a = Vector512.LoadUnsafe(ref at);
            words += a.AsUInt16();
            folded = Fold(folded, one, a.AsUInt64());
            at = ref Unsafe.Add(ref at, Piece);
        }

        // What is folded has the remainder of all that came before it.
        Span<ulong> rest = stackalloc ulong[8];
        folded.CopyTo(rest);
        uint crc = 0;
        foreach (ulong eight in rest) crc = BitOperations.Crc32C(crc, eight);
        ReadOnlySpan<byte> tail = MemoryMarshal.CreateReadOnlySpan(ref at, left);
        sum = (ushort)(Vector512.Sum(words) + WordSum.OfShort(tail));
        return Crc32C.Continue(crc, MemoryMarshal.CreateReadOnlySpan(ref at, left + 2));
    }

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static Vector512<ulong> Fold(Vector512<ulong> from, Vector512<ulong> factors, Vector512<ulong> to) =>
        Pclmulqdq.V512.CarrylessMultiply(from, factors, 0x00) ^ Pclmulqdq.V512.CarrylessMultiply(from, factors, 0x11) ^ to;

    private static Vector512<ulong> Four(Vector128<ulong> factors) => Vector512.Create(Vector256.Create(factors, factors), Vector256.Create(factors, factors));

    private static Vector128<ulong> Factors(int bits) => Vector128.Create(Power(bits + 32), Power(bits - 32));

    // x^n modulo the polynomial, bits reflected, one place up: a product of reflected numbers comes out one place down.
    private static ulong Power(int n)
    {
        uint remainder = 0x8000_0000;
        for (int i = 0; i < n; i++) remainder = (remainder >> 1) ^ ((remainder & 1) * 0x82F63B78u);
        return (ulong)remainder << 1;
    }
}
