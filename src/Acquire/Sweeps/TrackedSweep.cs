namespace Acquire.Sweeps;

/// <summary>A sweep as the tracker knows it.</summary>
internal readonly record struct TrackedSweep(
    long StartScan,
    long EndScan,
    SweepStart StartReason,
    SweepEnd EndReason,
    bool Rising,
    double StartCode,
    double EndCode,
    double SlopeCodes);
