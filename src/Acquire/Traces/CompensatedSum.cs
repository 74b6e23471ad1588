namespace Acquire.Traces;

/// <summary>A sum of doubles that keeps what rounding takes from it (Neumaier's form of Kahan's summation).</summary>
internal static class CompensatedSum
{
    /// <summary>Adds a term; the sum is <paramref name="sum"/> + <paramref name="correction"/>.</summary>
    public static void Add(ref double sum, ref double correction, double term)
    {
        double total = sum + term;
        // Infinity less infinity has no value; an infinite sum needs no correction.
        if (!double.IsFinite(total)) correction = 0;
        else if (Math.Abs(sum) >= Math.Abs(term)) correction += sum - total + term;
        else correction += term - total + sum;
        sum = total;
    }
}
