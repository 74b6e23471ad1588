using Acquire.Sources.Sessions;
using CsCheck;

namespace Acquire.Sources.Tests.Sessions;

public class LatencyHistogramTests
{
    [Fact]
    public void Add_AnyTime_FallsIntoTheBucketThatEndsBehindIt() =>
        Gen.Long[0, TimeSpan.TicksPerMinute * 3].Sample(ticks =>
        {
            LatencyHistogram histogram = new();
            TimeSpan time = TimeSpan.FromTicks(ticks);
            histogram.Add(time);
            int bucket = Enumerable.Range(0, histogram.BucketCount).Single(b => histogram.CountOf(b) == 1);
            return time < histogram.EndOf(bucket) && (bucket == 0 || time >= histogram.EndOf(bucket - 1));
        });

    // Where steps and buckets are nearly as long, each step counts.
    [Fact]
    public void Add_EachStepOfTheClockUpToOneMillisecond_FallsIntoTheBucketThatEndsBehindIt()
    {
        LatencyHistogram histogram = new();
        int bucket = 0;
        for (TimeSpan time = TimeSpan.Zero; time < TimeSpan.FromMilliseconds(1); time += TimeSpan.FromTicks(1))
        {
            while (time >= histogram.EndOf(bucket)) bucket++;
            long before = histogram.CountOf(bucket);
            histogram.Add(time);
            Assert.Equal(before + 1, histogram.CountOf(bucket));
        }
    }

    [Fact]
    public void EndOf_RisesByAnEighthOfADoublingAtMost()
    {
        LatencyHistogram histogram = new();

        // The first two doublings are told apart as far as the clock's own step of 100 ns allows.
        for (int b = 1; b < histogram.BucketCount - 1; b++)
            Assert.InRange(histogram.EndOf(b) / histogram.EndOf(b - 1), 1.0000001, b < 17 ? 1.2 : 1.13);
        Assert.Equal(TimeSpan.FromMicroseconds(1), histogram.EndOf(0));
        Assert.Equal(TimeSpan.MaxValue, histogram.EndOf(histogram.BucketCount - 1));
    }

    [Fact]
    public void Within_AHundredTimes_IsAtMostAnEighthTooLong()
    {
        LatencyHistogram histogram = new();
        for (int ms = 1; ms <= 100; ms++) histogram.Add(TimeSpan.FromMilliseconds(ms));

        Assert.Equal(100, histogram.Count);
        Assert.Equal(TimeSpan.FromMilliseconds(100), histogram.Longest);
        Assert.InRange(histogram.Within(0.5).TotalMilliseconds, 50, 50 * 1.125);
        Assert.InRange(histogram.Within(0.95).TotalMilliseconds, 95, 100);
        Assert.Equal(TimeSpan.FromMilliseconds(100), histogram.Within(1));
    }

    [Fact]
    public void Within_Nothing_IsZero() => Assert.Equal(TimeSpan.Zero, new LatencyHistogram().Within(0.95));

    [Fact]
    public void Add_AllocatesNothing()
    {
        LatencyHistogram histogram = new();
        Add();

        long before = GC.GetAllocatedBytesForCurrentThread();
        Add();
        Assert.Equal(0, GC.GetAllocatedBytesForCurrentThread() - before);

        void Add()
        {
            for (int i = 0; i < 1_000; i++) histogram.Add(TimeSpan.FromTicks(i * 997L));
        }
    }
}
