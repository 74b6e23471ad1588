using System.Numerics;
using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;

namespace Acquire.Harness.Inspect.Survey;

/// <summary>Counts of legs too short to be measured, by height, direction and scans: noise makes one every few scans, so that nothing else is kept of each.</summary>
internal sealed class ShortLegs
{
    /// <summary>Scans that are no longer short.</summary>
    public const int EndOfScans = 8;

    /// <summary>What a leg's kind has beside its scans where it rises.</summary>
    public const int Rising = EndOfScans;

    private const uint Kinds = 2 * EndOfScans;

    private readonly long[] _counts = new long[LegHeights.Count * Kinds];

    /// <summary>Legs are to be taken one by one from here on, in their order.</summary>
    public bool Closed { get; set; }

    /// <summary>Legs by height and kind.</summary>
    public ReadOnlySpan<long> Counts => _counts;

    /// <summary>Takes a leg.</summary>
    /// <param name="kind">Its scans, 1 to 7, and <see cref="Rising"/> where it rises.</param>
    /// <param name="excursionCodes">Its height.</param>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public void Add(int kind, ushort excursionCodes) =>
        Unsafe.Add(ref MemoryMarshal.GetArrayDataReference(_counts), ((uint)LegHeights.StepOf(excursionCodes) * Kinds) + ((uint)kind % Kinds))++;

    /// <summary>Hands all over.</summary>
    /// <param name="rising">Get those that rise, by height.</param>
    /// <param name="falling">Get those that fall, by height.</param>
    public void MoveTo(LegStatistics[] rising, LegStatistics[] falling)
    {
        for (int i = 0; i < _counts.Length; i++)
        {
            if (_counts[i] == 0) continue;
            int kind = i % (int)Kinds;
            (kind >= Rising ? rising : falling)[i / (int)Kinds].AddShort(_counts[i], kind % EndOfScans);
        }

        Clear();
    }

    /// <summary>Hands all over.</summary>
    /// <param name="others">Get them.</param>
    /// <param name="lowestCodes">No leg is lower.</param>
    /// <param name="highestCodes">No leg is higher.</param>
    public void MoveTo(ShortLegs others, int lowestCodes, int highestCodes)
    {
        int first = LegHeights.StepOf((ushort)lowestCodes) * (int)Kinds, end = (LegHeights.StepOf((ushort)highestCodes) + 1) * (int)Kinds;
        for (int i = first; i < end; i += Vector<long>.Count)
        {
            (new Vector<long>(_counts, i) + new Vector<long>(others._counts, i)).CopyTo(others._counts, i);
            Vector<long>.Zero.CopyTo(_counts, i);
        }
    }

    /// <summary>Forgets all.</summary>
    public void Clear() => Array.Clear(_counts);
}
