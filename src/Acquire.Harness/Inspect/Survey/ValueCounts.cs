using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;

namespace Acquire.Harness.Inspect.Survey;

/// <summary>How often each value of 16 bits came; constant memory, however many came.</summary>
internal sealed class ValueCounts
{
    private const int Values = 1 << 16;

    // Values that follow one another are often alike, and a count must be written before it can be read again: four tables take turns.
    // They are a little longer than there are values, so that the counts of one value do not vie for the same place in the cache.
    private const int Turns = 4;
    private const int Apart = Values + 16;
    private const long MostPending = int.MaxValue;

    private readonly uint[] _pending = new uint[Apart * Turns];
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

        // No value of 16 bits lies outside of a table, so its place is not checked.
        ref uint first = ref MemoryMarshal.GetArrayDataReference(_pending);
        ref uint second = ref Unsafe.Add(ref first, Apart), third = ref Unsafe.Add(ref first, 2 * Apart), fourth = ref Unsafe.Add(ref first, 3 * Apart);
        ref ushort value = ref MemoryMarshal.GetReference(values);
        nuint at = 0, end = (nuint)values.Length, fours = end / Turns * Turns;
        for (; at < fours; at += Turns)
        {
            Unsafe.Add(ref first, (nuint)Unsafe.Add(ref value, at))++;
            Unsafe.Add(ref second, (nuint)Unsafe.Add(ref value, at + 1))++;
            Unsafe.Add(ref third, (nuint)Unsafe.Add(ref value, at + 2))++;
            Unsafe.Add(ref fourth, (nuint)Unsafe.Add(ref value, at + 3))++;
        }

        for (; at < end; at++) Unsafe.Add(ref first, (nuint)Unsafe.Add(ref value, at))++;
    }

    private void Settle()
    {
        if (_pendingTotal == 0) return;
        for (int turn = 0; turn < Turns; turn++)
        {
            Span<uint> pending = _pending.AsSpan(turn * Apart, Values);
            // Memory of values that never came is never written.
            for (int value = 0; (value = NextOf(pending, value)) < Values; value++)
            {
                _counts[value] += pending[value];
                pending[value] = 0;
            }
        }

        _pendingTotal = 0;
    }

    private static int NextOf(ReadOnlySpan<uint> pending, int value)
    {
        int next = pending[value..].IndexOfAnyExcept(0u);
        return next < 0 ? Values : value + next;
    }
}
