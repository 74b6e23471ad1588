using Acquire.Columns;
using Acquire.Harness.Runs;
using Acquire.Scales;
using Acquire.Traces;

namespace Acquire.Harness.Measuring;

/// <summary>The trace of one vertical over the sweeps picked, as taken: not normalised.</summary>
internal sealed class TakenTrace
{
    private TakenTrace(KeptSweep last, TraceConditions conditions, double[] values, ColumnMarks[] marks, long[] counts)
    {
        Last = last;
        Conditions = conditions;
        Values = values;
        Marks = marks;
        Counts = counts;
    }

    /// <summary>The last sweep of those used.</summary>
    public KeptSweep Last { get; }

    /// <summary>Sweeps used.</summary>
    public int SweepsUsed { get; private init; }

    /// <summary>Mean time of the sweeps used, in scans.</summary>
    public double SweepScans { get; private init; }

    /// <summary>What it was taken with.</summary>
    public TraceConditions Conditions { get; }

    /// <summary>One value per column, NaN where unfilled.</summary>
    public double[] Values { get; }

    /// <summary>One mark per column.</summary>
    public ColumnMarks[] Marks { get; }

    /// <summary>Scans per column, over all sweeps used.</summary>
    public long[] Counts { get; }

    /// <summary>Makes the trace.</summary>
    /// <param name="setup">Setup of the run.</param>
    /// <param name="reading">How the vertical is read.</param>
    /// <param name="vertical">0 is the first vertical.</param>
    /// <param name="picked">Sweeps, oldest first, at least one, all on one axis.</param>
    /// <param name="detector">How the scans of a column become one value.</param>
    /// <param name="domain">Domain of averages, or null: the vertical's own.</param>
    public static TakenTrace Of(
        Setup setup, VerticalReading reading, int vertical, IReadOnlyList<KeptSweep> picked, Detector detector, AveragingDomain? domain)
    {
        KeptSweep last = picked[^1];
        ValueChoice choice = new(detector, reading.Unit, VerticalReading.DomainFor(detector, domain));
        int columns = last.Verticals[vertical].ColumnCount;
        double[] values = new double[columns];
        ColumnMarks[] marks = new ColumnMarks[columns];
        if (picked.Count == 1)
        {
            // Also a sweep that was aborted, which no average takes.
            reading.Values.Read(last.Verticals[vertical], choice, values);
        }
        else
        {
            TraceAverage average = new(reading.Values, columns, choice, AveragingMode.Block, picked.Count);
            foreach (KeptSweep sweep in picked) average.Take(sweep.Info, sweep.Verticals[vertical]);
            average.Read(values);
        }

        long[] counts = new long[columns];
        foreach (KeptSweep sweep in picked)
        {
            for (int column = 0; column < columns; column++)
            {
                counts[column] += sweep.Verticals[vertical].Counts[column];
                if (reading.Values.IsAtRail(sweep.Verticals[vertical], column, detector)) marks[column] |= ColumnMarks.AtRail;
                if (column < sweep.Info.SettlingColumns) marks[column] |= ColumnMarks.Settling;
            }
        }

        return new TakenTrace(last, ConditionsOf(setup, reading, choice, last.Axis!), values, marks, counts)
        {
            SweepsUsed = picked.Count,
            SweepScans = picked.Average(sweep => (double)(sweep.Info.EndPosition - sweep.Info.StartPosition)),
        };
    }

    /// <summary>The trace as a reference for others, or as a recorded floor.</summary>
    public TraceReference ToReference() => new(Conditions, Values, Marks, SweepsUsed);

    /// <summary>What a trace on an axis is taken with.</summary>
    public static TraceConditions ConditionsOf(Setup setup, VerticalReading reading, ValueChoice choice, ColumnAxis axis) => new()
    {
        Choice = choice,
        Scale = reading.Values.Converter.Scale,
        FullCode = setup.Scan.FullCode,
        Axis = axis,
        RampVolts = setup.RampVolts,
        SweepAxis = setup.Axis,
        Placement = setup.Columns.Placement,
        Settings = setup.Settings,
    };
}
