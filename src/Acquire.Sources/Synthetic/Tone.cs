namespace Acquire.Sources.Synthetic;

/// <summary>A steady tone at the instrument's input.</summary>
/// <param name="FrequencyHz">Frequency on the bench's axis, in hertz.</param>
/// <param name="LevelDb">Level in dB at the centre of the resolution filter.</param>
public sealed record Tone(double FrequencyHz, double LevelDb)
{
    internal void Validate(string name)
    {
        Check.Finite(FrequencyHz, name + ".Tones.FrequencyHz");
        Check.Finite(LevelDb, name + ".Tones.LevelDb");
    }
}
