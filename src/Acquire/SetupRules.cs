using Acquire.Capture;
using Acquire.Columns;
using Acquire.Scales;
using Acquire.Sweeps;
using Acquire.Traces;

namespace Acquire;

/// <summary>Checks a setup as a whole.</summary>
internal static class SetupRules
{
    // At a million scans a second two years; times 65,536 columns it fits 64 bits.
    private const long MostScansOfPass = 1L << 46;

    public static void Check(Setup setup)
    {
        setup.Scan.Validate();
        CheckColumns(setup.Columns, setup.Scan.ScanRateHz);
        CheckSweep(setup.Sweep, setup.Scan.ScanRateHz, setup.Columns.ColumnCount);
        CheckBlanking(setup.Sweep.Blanking, setup.Scan.ScanRateHz);
        if (setup.RampVolts is { } ramp) CheckRamp(ramp);
        if (setup.Verticals.Count > setup.Scan.VerticalChannels.Count)
            throw new ArgumentException($"There are {setup.Verticals.Count} scales of verticals but {setup.Scan.VerticalChannels.Count} channels with that role; give at most one scale for each.");
        if (setup.Columns.Domains.Count > 0 && !setup.Verticals.Any(vertical => vertical.Level.Count > 0))
            throw new ArgumentException($"The {setup.Columns.Domains[0]} domain is asked for but no vertical has level points; give points of volts and level, or take the domain out.");
        if (setup.Axis is { } axis) CheckAxis(axis);
        TraceOptions traces = setup.Traces;
        if (traces.HistorySweeps is < 0 or > 65_536)
            throw new ArgumentException($"HistorySweeps is {traces.HistorySweeps}; it must be 0 to 65,536.");
    }

    private static void CheckRamp(CodeVolts ramp)
    {
        if (ramp.AtCodeZero == ramp.AtFullCode)
            throw new ArgumentException($"The ramp has {ramp.AtCodeZero} V at code 0 and at the full code; the two must differ. Give the volts at both ends of the converter's range.");

        // As for verticals, so that their difference fits a decimal.
        foreach (decimal volts in (ReadOnlySpan<decimal>)[ramp.AtCodeZero, ramp.AtFullCode])
            if (Math.Abs(volts) > VerticalScaleRules.MaxVolts) throw new ArgumentException($"A voltage of the ramp is {volts} V; it must lie within +-{VerticalScaleRules.MaxVolts} V.");
    }

    private static void CheckColumns(ColumnOptions columns, double? scanRateHz)
    {
        if (columns.ColumnCount is < ColumnOptions.MinColumns or > ColumnOptions.MaxColumns)
            throw new ArgumentException($"ColumnCount is {columns.ColumnCount}; it must be {ColumnOptions.MinColumns} to {ColumnOptions.MaxColumns}.");
        RequireDefined(columns.Placement, "Placement");
        foreach (AveragingDomain domain in columns.Domains) RequireDefined(domain, "An averaging domain");
        if (!(columns.SkewScans >= 0 && columns.SkewScans <= 1))
            throw new ArgumentException($"SkewScans is {columns.SkewScans}; it must be 0 to 1 scans.");
        if (!(columns.VideoDelaySeconds >= 0 && double.IsFinite(columns.VideoDelaySeconds)))
            throw new ArgumentException($"VideoDelaySeconds is {columns.VideoDelaySeconds}; it must be 0 or more and finite.");
        if (columns.SettleSeconds is { } settle && !(settle >= 0 && double.IsFinite(settle)))
            throw new ArgumentException($"SettleSeconds is {settle}; it must be 0 or more and finite.");
        if (scanRateHz is null && (columns.VideoDelaySeconds > 0 || columns.SettleSeconds > 0))
            throw new ArgumentException("A video delay or settling time in seconds needs ScanRateHz; give the scan rate or leave the delay out.");
        if (scanRateHz is { } rate && columns.VideoDelaySeconds * rate > 65_536)
            throw new ArgumentException($"VideoDelaySeconds is {columns.VideoDelaySeconds}, {columns.VideoDelaySeconds * rate:N0} scans; at most 65,536 scans can be made good. Check delay and scan rate.");
        if (columns.FillOverSweeps < 0)
            throw new ArgumentException($"FillOverSweeps is {columns.FillOverSweeps}; it must be 0 or more sweeps.");
    }

    private static void CheckSweep(SweepOptions sweep, double? scanRateHz, int columns)
    {
        RequireDefined(sweep.Mode, "Mode");
        RequireDefined(sweep.Direction, "Direction");
        if (sweep.Edges is { } edges && edges.Low >= edges.High)
            throw new ArgumentException($"The edges are {edges.Low} and {edges.High}; the lower must come first and they must differ.");
        if (!(sweep.TimeSpan > 0 && double.IsFinite(sweep.TimeSpan)))
            throw new ArgumentException($"TimeSpan is {sweep.TimeSpan}; it must be positive and finite.");
        if (sweep.Mode != SweepMode.Time || TimeFollower.ScansOf(sweep.TimeSpan, scanRateHz, columns) is >= 2 and <= MostScansOfPass) return;
        string rate = scanRateHz is { } hertz ? $"{sweep.TimeSpan} s at {hertz} scans a second" : $"{sweep.TimeSpan} scans, since no scan rate is known";
        throw new ArgumentException($"TimeSpan is {rate}; one pass has 2 to {MostScansOfPass:N0} scans. Give a time span of so many.");
    }

    private static void CheckBlanking(BlankingOptions blanking, double? scanRateHz)
    {
        if (!double.IsFinite(blanking.LeadSeconds))
            throw new ArgumentException($"The blanking's LeadSeconds is {blanking.LeadSeconds}; it must be finite.");
        if (blanking.LeadSeconds != 0 && scanRateHz is null)
            throw new ArgumentException("The blanking's LeadSeconds needs ScanRateHz; give the scan rate or leave the lead out.");
        if (scanRateHz is { } rate && Math.Abs(blanking.LeadSeconds) * rate > 65_536)
            throw new ArgumentException($"The blanking's LeadSeconds is {blanking.LeadSeconds}, {blanking.LeadSeconds * rate:N0} scans; at most 65,536 scans can be made good. Check lead and scan rate.");
        if (blanking.HysteresisCodes < 0)
            throw new ArgumentException($"The blanking's HysteresisCodes is {blanking.HysteresisCodes}; it must be 0 or more.");
    }

    // The engine places scans by the ramp alone; whoever reads the axis afterwards must find one that can be read.
    private static void CheckAxis(SweepAxis axis)
    {
        if (axis.Start == axis.End || !double.IsFinite(axis.Start) || !double.IsFinite(axis.End))
            throw new ArgumentException($"The axis goes from {axis.Start} to {axis.End} {axis.Unit}; both must be finite and differ. Give the values at the start and at the end of the sweep.");
        if (axis.Unit is not ("Hz" or "s"))
            throw new ArgumentException($"The axis' unit is \"{axis.Unit}\"; it must be \"Hz\" or \"s\". Give its values in one of them.");
        IReadOnlyList<ShapePoint> shape = axis.Shape;
        if (shape.Count == 0) return;
        if (shape.Count < 2 || shape[0] != new ShapePoint(0, 0) || shape[^1] != new ShapePoint(1, 1))
            throw new ArgumentException($"The axis' shape has {shape.Count} points from {shape[0]} to {shape[^1]}; it must run from fraction 0, share 0 to fraction 1, share 1, or be left out.");
        for (int i = 1; i < shape.Count; i++)
        {
            if (!(shape[i].Fraction > shape[i - 1].Fraction && shape[i].Share > shape[i - 1].Share))
                throw new ArgumentException($"The axis' shape goes from {shape[i - 1]} to {shape[i]}; fraction and share must both rise from each point to the next. Correct the point that turns back.");
        }
    }

    private static void RequireDefined<T>(T value, string name)
        where T : struct, Enum
    {
        if (!Enum.IsDefined(value)) throw new ArgumentException($"{name} is {value}; it must be one of {string.Join(", ", Enum.GetNames<T>())}.");
    }
}
