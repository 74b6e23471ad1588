using Acquire.Columns;
using Acquire.Sources.Sessions;
using Acquire.Sources.Synthetic;
using Acquire.Sources.Tests.Doubles;

namespace Acquire.Sources.Tests.Sessions;

public class SweepReportTests
{
    [Fact]
    public void Start_MoreSweepsThanMayWait_IsRefusedWithTheLimit()
    {
        SyntheticOptions options = Benches.Of(sweeps: 1);

        ArgumentException refused = Assert.Throws<ArgumentException>(() =>
            AcquisitionSession.Start(new SyntheticSource(options), Benches.SetupOf(options), new SessionOptions { MostSweeps = SessionOptions.SweepLimit + 1 }));
        Assert.Contains("1 to 65,536", refused.Message, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Dispose_Twice_DoesNotTouchTheReportThatHasTheMemoryNow()
    {
        SyntheticOptions options = Benches.Of(sweeps: 10);
        await using AcquisitionSession session = AcquisitionSession.Start(new SyntheticSource(options), Benches.SetupOf(options), new SessionOptions { MostSweeps = 1 });
        SweepReport first = await session.Sweeps.ReadAsync();
        IReadOnlyList<ColumnStatistics> memory = first.Verticals;
        first.Dispose();
        List<SweepReport> later = [];
        await foreach (SweepReport report in session.Sweeps.ReadAllAsync()) later.Add(report);
        SweepReport reused = Assert.Single(later, report => ReferenceEquals(report.Verticals, memory));
        string before = KeptSweeps.TextOf(reused);

        first.Dispose();

        Assert.Equal(before, KeptSweeps.TextOf(reused));
        Assert.Throws<ObjectDisposedException>(() => first.Verticals);
        Assert.Throws<ObjectDisposedException>(() => first.Marks.Length);
        Assert.Equal(later.Count, later.Select(report => report.Verticals).Distinct().Count());
    }

    [Fact]
    public async Task Reports_NotDisposed_AreStillCorrect()
    {
        SyntheticOptions options = Benches.Of(sweeps: 8);
        await using AcquisitionSession session = AcquisitionSession.Start(new SyntheticSource(options), Benches.SetupOf(options));
        List<SweepReport> reports = [];

        await foreach (SweepReport report in session.Sweeps.ReadAllAsync()) reports.Add(report);

        Assert.Equal(Enumerable.Range(0, reports.Count).Select(n => (long)n), reports.Select(report => report.Info.Number));
        Assert.All(reports, report => Assert.True(report.Info.ScansInColumns == Sum(report.Verticals[0].Counts)));

        static long Sum(ReadOnlySpan<long> counts)
        {
            long sum = 0;
            foreach (long count in counts) sum += count;
            return sum;
        }
    }
}
