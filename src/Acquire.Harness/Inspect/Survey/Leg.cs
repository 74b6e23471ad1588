namespace Acquire.Harness.Inspect.Survey;

/// <summary>One stretch of a channel from turning point to turning point.</summary>
/// <param name="Rising">The codes rise.</param>
/// <param name="ExcursionCodes">From turning point to turning point, in codes.</param>
/// <param name="Scans">Scans from where it left the one turning point to where it reached the other.</param>
/// <param name="Straightness">Squared correlation of code and time; 1 is a straight line, NaN where there are too few scans.</param>
internal readonly record struct Leg(bool Rising, int ExcursionCodes, long Scans, double Straightness);
