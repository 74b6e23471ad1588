namespace Acquire.Sweeps;

/// <summary>The two edges of the screen on the ramp, low first.</summary>
/// <param name="Low">Lower edge: volts where the setup has a ramp scale, otherwise codes.</param>
/// <param name="High">Upper edge, above <paramref name="Low"/>, in the same unit.</param>
public sealed record SweepEdges(decimal Low, decimal High);
