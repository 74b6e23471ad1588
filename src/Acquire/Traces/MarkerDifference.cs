namespace Acquire.Traces;

/// <summary>How far a marker lies from another one.</summary>
/// <param name="Outcome">Found when both were; otherwise why the first of them that was not found was not.</param>
/// <param name="Position">Position of the second less that of the first.</param>
/// <param name="Value">Value of the second less that of the first: decibels of ratio for levels.</param>
public readonly record struct MarkerDifference(MarkerOutcome Outcome, double Position, double Value);
