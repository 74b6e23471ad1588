namespace Acquire.Scales;

/// <summary>One known pair of a vertical's voltage and the level that it stands for.</summary>
/// <param name="Volts">Volts on the vertical output.</param>
/// <param name="LevelDb">Level in decibels relative to <see cref="VerticalScale.LevelUnit"/>'s reference.</param>
public readonly record struct LevelPoint(decimal Volts, decimal LevelDb);
