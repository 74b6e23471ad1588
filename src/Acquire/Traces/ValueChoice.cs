using Acquire.Columns;
using Acquire.Scales;

namespace Acquire.Traces;

/// <summary>Which value of a column is wanted: detector, unit and averaging domain.</summary>
/// <param name="Detector">How the scans of a column become one value.</param>
/// <param name="Unit">What it is expressed in.</param>
/// <param name="Domain">Domain of averages, within a column and across sweeps; null is the vertical's own: level for a logarithmic
/// vertical, voltage and power for the linear ones. RMS is always power. Only the unit level has a choice.</param>
public readonly record struct ValueChoice(Detector Detector, ValueUnit Unit = ValueUnit.Code, AveragingDomain? Domain = null);
