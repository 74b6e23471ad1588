using Acquire.Columns;
using Acquire.Sweeps;
using Acquire.Traces;

namespace Acquire;

/// <summary>Checks a setup as a whole.</summary>
internal static class SetupRules
{
    public static void Check(Setup setup)
    {
        setup.Scan.Validate();
        ColumnOptions columns = setup.Columns;
        if (columns.ColumnCount is < ColumnOptions.MinColumns or > ColumnOptions.MaxColumns)
            throw new ArgumentException($"ColumnCount is {columns.ColumnCount}; it must be {ColumnOptions.MinColumns} to {ColumnOptions.MaxColumns}.");
        if (!(columns.SkewScans >= 0 && columns.SkewScans <= 1))
            throw new ArgumentException($"SkewScans is {columns.SkewScans}; it must be 0 to 1 scans.");
        if (!(columns.VideoDelaySeconds >= 0 && double.IsFinite(columns.VideoDelaySeconds)))
            throw new ArgumentException($"VideoDelaySeconds is {columns.VideoDelaySeconds}; it must be 0 or more and finite.");
        if (columns.SettleSeconds is { } settle && !(settle >= 0 && double.IsFinite(settle)))
            throw new ArgumentException($"SettleSeconds is {settle}; it must be 0 or more and finite.");
        if (setup.Scan.ScanRateHz is null && (columns.VideoDelaySeconds > 0 || columns.SettleSeconds > 0))
            throw new ArgumentException("A video delay or settling time in seconds needs ScanRateHz; give the scan rate or leave the delay out.");
        if (setup.Scan.ScanRateHz is { } rate && columns.VideoDelaySeconds * rate > 65_536)
            throw new ArgumentException($"VideoDelaySeconds is {columns.VideoDelaySeconds}, {columns.VideoDelaySeconds * rate:N0} scans; at most 65,536 scans can be made good. Check delay and scan rate.");
        if (columns.FillOverSweeps < 0)
            throw new ArgumentException($"FillOverSweeps is {columns.FillOverSweeps}; it must be 0 or more sweeps.");
        SweepOptions sweep = setup.Sweep;
        if (sweep.Edges is { } edges && edges.Low >= edges.High)
            throw new ArgumentException($"The edges are {edges.Low} and {edges.High}; the lower must come first and they must differ.");
        if (!(sweep.TimeSpan > 0 && double.IsFinite(sweep.TimeSpan)))
            throw new ArgumentException($"TimeSpan is {sweep.TimeSpan}; it must be positive and finite.");
        if (!double.IsFinite(sweep.Blanking.LeadSeconds))
            throw new ArgumentException($"The blanking's LeadSeconds is {sweep.Blanking.LeadSeconds}; it must be finite.");
        if (sweep.Blanking.LeadSeconds != 0 && setup.Scan.ScanRateHz is null)
            throw new ArgumentException("The blanking's LeadSeconds needs ScanRateHz; give the scan rate or leave the lead out.");
        if (setup.Scan.ScanRateHz is { } scanRate && Math.Abs(sweep.Blanking.LeadSeconds) * scanRate > 65_536)
            throw new ArgumentException($"The blanking's LeadSeconds is {sweep.Blanking.LeadSeconds}, {sweep.Blanking.LeadSeconds * scanRate:N0} scans; at most 65,536 scans can be made good. Check lead and scan rate.");
        if (sweep.Blanking.HysteresisCodes < 0)
            throw new ArgumentException($"The blanking's HysteresisCodes is {sweep.Blanking.HysteresisCodes}; it must be 0 or more.");
        TraceOptions traces = setup.Traces;
        if (traces.HistorySweeps is < 0 or > 65_536)
            throw new ArgumentException($"HistorySweeps is {traces.HistorySweeps}; it must be 0 to 65,536.");
    }
}
