using System.Runtime.CompilerServices;
using Acquire.Capture;

namespace Acquire.Columns;

/// <content>Readings chosen by their ramp codes, with the bits that scan by scan gives.</content>
public sealed partial class ColumnStatistics
{
    /// <summary>Adds to each of some columns the readings of the scans whose ramp codes are its, all but the domains' sums, and closes their runs.</summary>
    /// <param name="start">The columns, and which scans may be in them.</param>
    /// <param name="ramp">The first scan's ramp code.</param>
    /// <param name="codes">The first scan's reading.</param>
    /// <param name="full">Highest code.</param>
    /// <param name="runs">Where the runs are closed.</param>
    /// <param name="firstScan">The first scan.</param>
    [MethodImpl(MethodImplOptions.NoInlining)]
    internal void AddChosen(in ColumnWalk start, ref ushort ramp, ref ushort codes, int full, SweepColumns runs, long firstScan)
    {
        Unchecked columns = new(this, 0, ColumnCount);
        // Copied here, field by field: as an argument by value it would be copied by vectors just after its fields were written, which stalls.
        ColumnWalk walk = start;
        while (walk.TryNext(out int column, out int first, out int end, out ushort low, out ushort more))
        {
            ref ushort ramps = ref Unsafe.Add(ref ramp, first), readings = ref Unsafe.Add(ref codes, first);
            if (end - first != ScanBlock.Scans || full > ReadingRun.NarrowCode)
            {
                AddChosen(column, ref ramps, ref readings, end - first, low, more, full, runs, firstScan + first);
                continue;
            }

            ReadingRun run = ReadingRun.OfChosenInBlock(ref ramps, ref readings, low, more, out int last);
            if (run.Count == 0) continue;
            columns.Add((uint)column, run);
            runs.CloseRun(column, firstScan + first + last);
        }
    }

    [MethodImpl(MethodImplOptions.NoInlining)]
    private void AddChosen(int column, ref ushort ramp, ref ushort codes, int scans, ushort low, ushort more, int full, SweepColumns runs, long firstScan)
    {
        ReadingRun run = ReadingRun.OfChosen(ref ramp, ref codes, 0, scans, low, more, full, out int last);
        if (run.Count == 0) return;
        Add(column, run);
        runs.CloseRun(column, firstScan + last);
    }
}
