using Acquire.Sweeps;

namespace Acquire.Harness.Inspect;

/// <summary>One sweep as it is listed.</summary>
/// <param name="Info">What the engine knows of it.</param>
/// <param name="ColumnsFilled">Columns with at least one scan, of the first vertical.</param>
internal readonly record struct SweepRow(SweepInfo Info, int ColumnsFilled)
{
    /// <summary>From its first scan to one past its last, in scans, lost ones counted.</summary>
    public long DurationScans => Info.EndPosition - Info.StartPosition;

    /// <summary>"fitted" where most scans were placed by the course, otherwise "direct".</summary>
    public string Placement => Info.ScansFitted * 2 > Info.ScansInColumns ? "fitted" : "direct";
}
