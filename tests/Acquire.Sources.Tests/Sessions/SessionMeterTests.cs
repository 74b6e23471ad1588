using System.Diagnostics.Metrics;
using Acquire.Sources.Sessions;
using Acquire.Sources.Synthetic;
using Acquire.Sources.Tests.Doubles;

namespace Acquire.Sources.Tests.Sessions;

public class SessionMeterTests
{
    [Fact]
    public async Task Session_RecordsOnceASweepAndAddsUpToTheCounts()
    {
        const string Name = "meter-test:";
        SyntheticOptions options = Benches.Of(sweeps: 10) with { Loss = new LossModel { Gaps = [new GapAt(1_000, 70)] } };
        Dictionary<string, long> sums = new(StringComparer.Ordinal);
        int records = 0;
        Lock gate = new();
        using MeterListener listener = new();
        listener.InstrumentPublished = (instrument, self) =>
        {
            if (instrument.Meter.Name == "Acquire" && instrument.Meter.Tags!.Any(tag => tag.Value is Name)) self.EnableMeasurementEvents(instrument);
        };
        listener.SetMeasurementEventCallback<long>((instrument, value, _, _) =>
        {
            lock (gate) sums[instrument.Name] = sums.GetValueOrDefault(instrument.Name) + value;
        });
        listener.SetMeasurementEventCallback<double>((_, seconds, _, _) =>
        {
            lock (gate) records++;
            Assert.InRange(seconds, 0, 20);
        });
        listener.Start();

        SessionCounts counts;
        await using (AcquisitionSession session = AcquisitionSession.Start(new SyntheticSource(options, Name), Benches.SetupOf(options)))
        {
            await session.Completion.WaitAsync(TimeSpan.FromSeconds(20));
            counts = session.Counts;
        }

        Assert.Equal(counts.Accounting.Scans, sums["acquire.scans"]);
        Assert.Equal(70, sums["acquire.scans.lost"]);
        Assert.Equal(counts.Sweeps, sums["acquire.sweeps"]);
        Assert.Equal(counts.Sweeps, records);
        Assert.True(counts.Sweeps > 5);
    }
}
