using System.Numerics;

namespace Acquire.Traces;

/// <summary>Keeps the larger or the smaller of two values in every column; NaN is no value.</summary>
internal static class HeldValues
{
    /// <summary>Replaces a held value where the fresh one lies beyond it or where nothing was held; equal ones stay.</summary>
    /// <param name="held">One value per column.</param>
    /// <param name="fresh">As many values.</param>
    /// <param name="larger">Beyond is larger; otherwise smaller.</param>
    public static void Keep(Span<double> held, ReadOnlySpan<double> fresh, bool larger)
    {
        int i = 0;
        for (; i <= held.Length - Vector<double>.Count; i += Vector<double>.Count)
        {
            Vector<double> old = new(held[i..]), now = new(fresh[i..]);
            Vector<long> beyond = larger ? Vector.GreaterThan(now, old) : Vector.LessThan(now, old);
            // Only NaN differs from itself.
            Vector<long> nothing = Vector.OnesComplement(Vector.Equals(old, old));
            Vector.ConditionalSelect(beyond | nothing, now, old).CopyTo(held[i..]);
        }

        for (; i < held.Length; i++)
            if (Goes(held[i], fresh[i], larger)) held[i] = fresh[i];
    }

    private static bool Goes(double old, double now, bool larger) => double.IsNaN(old) || (larger ? now > old : now < old);
}
