using Acquire.Imaging.Scenes;
using Acquire.Painting;

namespace Acquire.Imaging.Layout;

/// <summary>Which value has which colour.</summary>
/// <param name="Low">Value of the first colour.</param>
/// <param name="High">Value of the last colour.</param>
/// <param name="Unit">Unit of the values.</param>
/// <param name="Name">What the values are.</param>
/// <param name="Ramp">Colours from low to high.</param>
internal sealed record RampScale(double Low, double High, string Unit, string Name, ColourRamp Ramp);
