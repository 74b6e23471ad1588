namespace Acquire.Sweeps;

/// <summary>How much like a ramp a leg looks.</summary>
/// <param name="Amplitude">Codes from end to end.</param>
/// <param name="StartCode">Code at its start.</param>
/// <param name="EndCode">Code at its end.</param>
/// <param name="MovingScans">Scans in which it moves, rests at its ends left out.</param>
/// <param name="RunningScans">The same without the longest stand on its way: a flyback may come to rest before it reaches the start.</param>
/// <param name="MovingShare">Share of the leg in which it moves.</param>
/// <param name="Straight">Straight but for a bow of a tenth and one pause.</param>
/// <param name="OffCodes">Deviation from the best parabola: noise of means, and hum.</param>
internal readonly record struct LegShape(
    double Amplitude, double StartCode, double EndCode, double MovingScans, double RunningScans, double MovingShare, bool Straight, double OffCodes);
