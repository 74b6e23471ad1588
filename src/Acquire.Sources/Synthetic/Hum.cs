namespace Acquire.Sources.Synthetic;

/// <summary>Pick-up of one steady frequency on a line.</summary>
/// <param name="AmplitudeCodes">Peak in codes, 0 or more.</param>
/// <param name="FrequencyHz">Frequency in hertz, above 0; default 50.</param>
/// <param name="PhaseTurns">Phase at position 0 in turns (1 is a full circle).</param>
public sealed record Hum(double AmplitudeCodes, double FrequencyHz = 50, double PhaseTurns = 0)
{
    internal void Validate(string name)
    {
        Check.AtLeastZero(AmplitudeCodes, name + ".AmplitudeCodes");
        Check.Positive(FrequencyHz, name + ".FrequencyHz");
        Check.Finite(PhaseTurns, name + ".PhaseTurns");
    }
}
