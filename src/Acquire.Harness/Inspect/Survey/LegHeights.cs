using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;

namespace Acquire.Harness.Inspect.Survey;

/// <summary>Heights of legs in steps of a quarter octave.</summary>
internal static class LegHeights
{
    // 65,536 codes are 16 octaves.
    private const int StepsPerOctave = 4;

    /// <summary>Steps.</summary>
    public const int Count = (16 * StepsPerOctave) + 1;

    private static readonly byte[] Steps =
        [.. Enumerable.Range(0, 65_536).Select(codes => (byte)Math.Ceiling(StepsPerOctave * Math.Log2(Math.Max(1, codes))))];

    /// <summary>Step of a height: the first that is no lower.</summary>
    public static int StepOf(ushort codes) => Unsafe.Add(ref MemoryMarshal.GetArrayDataReference(Steps), codes);

    /// <summary>First step above a height.</summary>
    /// <param name="codes">In codes.</param>
    public static int StepAbove(double codes) => (int)Math.Floor(StepsPerOctave * Math.Log2(Math.Max(1, codes))) + 1;
}
