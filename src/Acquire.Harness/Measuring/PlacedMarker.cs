using Acquire.Traces;

namespace Acquire.Harness.Measuring;

/// <summary>A marker of a measurement.</summary>
/// <param name="Name">A, B, C and so on, in the order asked for.</param>
/// <param name="Asked">What was asked for: a position, peak, minimum.</param>
/// <param name="Reading">What it reads.</param>
internal sealed record PlacedMarker(string Name, string Asked, MarkerReading Reading);
