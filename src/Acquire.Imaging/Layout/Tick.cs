namespace Acquire.Imaging.Layout;

/// <summary>A numbered grid line.</summary>
/// <param name="Value">Where, in the axis' unit without prefix.</param>
/// <param name="Label">What is printed.</param>
internal readonly record struct Tick(double Value, string Label);
