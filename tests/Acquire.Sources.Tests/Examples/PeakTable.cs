using Acquire;
using Acquire.Columns;
using Acquire.Scales;
using Acquire.Sources;
using Acquire.Sources.Sessions;
using Acquire.Traces;

// One line for each whole sweep: its highest column, until the source ends or somebody cancels.
internal static class PeakTable
{
    public static async Task WriteAsync(IScanSource source, Setup setup, TextWriter output, CancellationToken cancel)
    {
        await using AcquisitionSession session = AcquisitionSession.Start(source, setup);
        ColumnValues values = new(session.Verticals[0]);
        ValueChoice peak = new(Detector.Peak, ValueUnit.Volts);
        double[] volts = new double[setup.Columns.ColumnCount];
        await foreach (SweepReport sweep in session.Sweeps.ReadAllAsync(cancel))
        {
            using (sweep)
            {
                if (!sweep.Info.Complete) continue;
                ValueAvailability availability = values.Read(sweep.Verticals[0], peak, volts);
                if (availability != ValueAvailability.Available) throw new InvalidOperationException(ColumnValues.Explain(availability, peak));

                // An unfilled column is no number, and no number is not the highest.
                int highest = 0;
                for (int column = 1; column < volts.Length; column++)
                    if (volts[column] > volts[highest] || double.IsNaN(volts[highest])) highest = column;
                output.WriteLine($"sweep {sweep.Info.Number}: {volts[highest]:0.000} V in column {highest}");
            }
        }

        SessionCounts counts = session.Counts;
        output.WriteLine($"{counts.Accounting.Scans} scans, {counts.Accounting.Lost} lost, {counts.SweepsDropped} sweeps dropped");
    }
}
