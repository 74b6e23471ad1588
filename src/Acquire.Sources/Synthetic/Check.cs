namespace Acquire.Sources.Synthetic;

/// <summary>The range checks of the synthetic options: actual value, rule, fix.</summary>
internal static class Check
{
    public static void Range(double value, double low, double high, string name, string meaning)
    {
        if (!(value >= low && value <= high)) throw new ArgumentException($"{name} is {value}; it is {meaning}: give {low} to {high}.");
    }

    public static void Range(long value, long low, long high, string name, string meaning)
    {
        if (value < low || value > high) throw new ArgumentException($"{name} is {value}; it is {meaning}: give {low} to {high}.");
    }

    public static void Finite(double value, string name)
    {
        if (!double.IsFinite(value)) throw new ArgumentException($"{name} is {value}; give a finite number.");
    }

    public static void AtLeastZero(double value, string name)
    {
        if (!(value >= 0 && double.IsFinite(value))) throw new ArgumentException($"{name} is {value}; give 0 or more.");
    }

    public static void Positive(double value, string name)
    {
        if (!(value > 0 && double.IsFinite(value))) throw new ArgumentException($"{name} is {value}; give a finite number above 0.");
    }
}
