using Acquire.Columns;
using Acquire.Harness.Runs;
using Acquire.Traces;

namespace Acquire.Harness.Measuring;

/// <summary>The trace of one vertical over the sweeps picked, not normalised.</summary>
internal sealed class AveragedTrace
{
    private AveragedTrace(KeptSweep last, int sweepsUsed, double[] values, long[] counts)
    {
        Last = last;
        SweepsUsed = sweepsUsed;
        Values = values;
        Counts = counts;
    }

    /// <summary>The last sweep of those used.</summary>
    public KeptSweep Last { get; }

    /// <summary>Sweeps used.</summary>
    public int SweepsUsed { get; }

    /// <summary>Mean time of the sweeps used, in scans.</summary>
    public double SweepScans { get; private init; }

    /// <summary>One value per column, NaN where unfilled.</summary>
    public double[] Values { get; }

    /// <summary>Scans per column, over all sweeps used.</summary>
    public long[] Counts { get; }

    /// <summary>Makes the trace.</summary>
    /// <param name="reading">How the vertical is read.</param>
    /// <param name="vertical">0 is the first vertical.</param>
    /// <param name="picked">Sweeps, oldest first, at least one, all on one axis.</param>
    /// <param name="detector">How the scans of a column become one value.</param>
    /// <param name="domain">Domain of averages, or null: the vertical's own.</param>
    public static AveragedTrace Of(
        VerticalReading reading, int vertical, IReadOnlyList<KeptSweep> picked, Detector detector, Scales.AveragingDomain? domain)
    {
        ValueChoice choice = new(detector, reading.Unit, detector == Detector.Rms ? null : domain);
        int columns = picked[0].Verticals[vertical].ColumnCount;
        double[] values = new double[columns];
        if (picked.Count == 1)
        {
            reading.Values.Read(picked[0].Verticals[vertical], choice, values);
        }
        else
        {
            TraceAverage average = new(reading.Values, columns, choice, AveragingMode.Block, picked.Count);
            foreach (KeptSweep sweep in picked) average.Take(sweep.Info, sweep.Verticals[vertical]);
            average.Read(values);
        }

        long[] counts = new long[columns];
        foreach (KeptSweep sweep in picked)
            for (int column = 0; column < columns; column++) counts[column] += sweep.Verticals[vertical].Counts[column];
        return new AveragedTrace(picked[^1], picked.Count, values, counts)
        {
            SweepScans = picked.Average(sweep => (double)(sweep.Info.EndPosition - sweep.Info.StartPosition)),
        };
    }
}
