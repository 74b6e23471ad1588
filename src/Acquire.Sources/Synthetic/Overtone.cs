namespace Acquire.Sources.Synthetic;

/// <summary>What a pick-up has at a multiple of its frequency.</summary>
/// <param name="Share">Its amplitude over that of the frequency itself, 0 or more.</param>
/// <param name="PhaseTurns">Its phase in its own turns, from where the pick-up's phase is 0.</param>
public sealed record Overtone(double Share, double PhaseTurns = 0)
{
    internal void Validate(string name)
    {
        Check.AtLeastZero(Share, name + ".Share");
        Check.Finite(PhaseTurns, name + ".PhaseTurns");
    }
}
