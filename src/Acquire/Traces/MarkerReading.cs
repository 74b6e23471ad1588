namespace Acquire.Traces;

/// <summary>One marker on a trace.</summary>
/// <param name="Outcome">Whether it was found; the other members have no meaning when it was not.</param>
/// <param name="Column">Column of the reading; the nearest one where the value was interpolated. -1 where not found.</param>
/// <param name="Position">Position, in the unit of the positions given. NaN where not found.</param>
/// <param name="Value">Value, in the unit of the values given. NaN where not found.</param>
public readonly record struct MarkerReading(MarkerOutcome Outcome, int Column, double Position, double Value)
{
    /// <summary>Whether it was found.</summary>
    public bool IsFound => Outcome == MarkerOutcome.Found;

    internal static MarkerReading None(MarkerOutcome why) => new(why, -1, double.NaN, double.NaN);
}
