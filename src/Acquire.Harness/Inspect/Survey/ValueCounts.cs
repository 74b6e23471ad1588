using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;

namespace Acquire.Harness.Inspect.Survey;

/// <summary>How often each value of 16 bits came; constant memory, however many came.</summary>
internal sealed class ValueCounts
{
    private const int Values = 1 << 16;

    // Values that follow one another are often alike, and a count must be written before it can be read again: four take turns.
    private const int Turns = 4;
    private const long MostPending = int.MaxValue;

    private readonly uint[] _pending = new uint[Values * Turns];
    private readonly long[] _counts = new long[Values];
    private long _pendingTotal;

    /// <summary>Values counted.</summary>
    public long Total { get; private set; }

    /// <summary>Counts by value, 65,536 entries.</summary>
    public ReadOnlySpan<long> Counts
    {
        get
        {
            Settle();
            return _counts;
        }
    }

    /// <summary>Counts values.</summary>
    public void Add(ReadOnlySpan<ushort> values)
    {
        // A span has fewer values than fit.
        if (_pendingTotal > MostPending) Settle();
        _pendingTotal += values.Length;
        Total += values.Length;

        // No value of 16 bits lies outside of the table, so its place is not checked.
        ref uint first = ref MemoryMarshal.GetArrayDataReference(_pending);
        ReadOnlySpan<ulong> fours = MemoryMarshal.Cast<ushort, ulong>(values);
        foreach (ulong four in fours)
        {
            At(ref first, (ushort)four, 0)++;
            At(ref first, (ushort)(four >> 16), 1)++;
            At(ref first, (ushort)(four >> 32), 2)++;
            At(ref first, (ushort)(four >> 48), 3)++;
        }

        foreach (ushort value in values[(fours.Length * Turns)..]) At(ref first, value, 0)++;
    }

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static ref uint At(ref uint first, ushort value, int turn) => ref Unsafe.Add(ref first, ((nuint)value * Turns) + (nuint)turn);

    private void Settle()
    {
        if (_pendingTotal == 0) return;
        ReadOnlySpan<UInt128> fours = MemoryMarshal.Cast<uint, UInt128>(_pending);
        for (int value = 0; value < Values; value++)
        {
            // Memory of values that never came is never written.
            if (fours[value] == 0) continue;
            Span<uint> turns = _pending.AsSpan(value * Turns, Turns);
            _counts[value] += (long)turns[0] + turns[1] + turns[2] + turns[3];
            turns.Clear();
        }

        _pendingTotal = 0;
    }
}
