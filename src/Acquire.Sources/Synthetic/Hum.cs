namespace Acquire.Sources.Synthetic;

/// <summary>Pick-up of one steady frequency on a line.</summary>
/// <param name="AmplitudeCodes">Peak in codes, 0 or more; without its overtones.</param>
/// <param name="FrequencyHz">Frequency in hertz, above 0; default 50.</param>
/// <param name="PhaseTurns">Phase at position 0 in turns (1 is a full circle).</param>
public sealed record Hum(double AmplitudeCodes, double FrequencyHz = 50, double PhaseTurns = 0)
{
    /// <summary>What it has at twice its frequency, three times and so on, as that of a rectifier or a dimmed lamp has; default none.</summary>
    /// <remarks>Shares of 1/2, 1/3, 1/4 ... of phase 0 are a saw.</remarks>
    public IReadOnlyList<Overtone> Overtones { get; init; } = [];

    internal double Codes(double seconds)
    {
        double turns = (seconds * FrequencyHz) + PhaseTurns, sum = PortableMath.SinTurns(turns);
        for (int i = 0; i < Overtones.Count; i++) sum += Overtones[i].Share * PortableMath.SinTurns(((i + 2) * turns) + Overtones[i].PhaseTurns);
        return AmplitudeCodes * sum;
    }

    internal void Validate(string name)
    {
        Check.AtLeastZero(AmplitudeCodes, name + ".AmplitudeCodes");
        Check.Positive(FrequencyHz, name + ".FrequencyHz");
        Check.Finite(PhaseTurns, name + ".PhaseTurns");
        for (int i = 0; i < Overtones.Count; i++) Overtones[i].Validate($"{name}.Overtones[{i}]");
    }
}
