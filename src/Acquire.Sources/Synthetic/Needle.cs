namespace Acquire.Sources.Synthetic;

/// <summary>A reading that lasts one scan: the first scan of a sweep at or past a place on the screen.</summary>
/// <param name="Fraction">Screen fraction, 0 to 1.</param>
/// <param name="LevelDb">Level in dB.</param>
public sealed record Needle(double Fraction, double LevelDb)
{
    internal void Validate(string name)
    {
        Check.Range(Fraction, 0, 1, name + ".Needles.Fraction", "a screen fraction");
        Check.Finite(LevelDb, name + ".Needles.LevelDb");
    }
}
