using System.Diagnostics;
using Acquire.Capture;
using Acquire.Tests.Doubles;

namespace Acquire.Tests.Capture;

/// <summary>Two real threads at full speed, each half checked word by word, until enough went through; a longer run sets ACQUIRE_STRESS_SECONDS.</summary>
[Trait("Category", "Stress")]
[Collection(nameof(Alone))]
public class PingPongStressTests
{
    private const int EnoughHalves = 2_000;

    private static readonly TimeSpan Least = TimeSpan.FromSeconds(
        double.TryParse(Environment.GetEnvironmentVariable("ACQUIRE_STRESS_SECONDS"), out double seconds) ? seconds : 0.5);

    // On a busy machine two threads take turns, so the number of halves ends a run, not the clock; this is only against hanging.
    private static readonly TimeSpan Most = Least + TimeSpan.FromSeconds(20);

    [Theory]
    [InlineData(1)]
    [InlineData(64)]
    public void Drop_TwoThreads_EveryScanIsInAHalfOrInAGap(int scansPerHalf)
    {
        var buffer = new PingPongBuffer(new PingPongOptions { ScansPerHalf = scansPerHalf });
        long produced = 0;
        bool enough = false;
        bool done = false;
        long producerBytes = 0;
        long start = Stopwatch.GetTimestamp();
        var producer = new Thread(() =>
        {
            uint dice = 1;
            long before = GC.GetAllocatedBytesForCurrentThread();
            while (!Volatile.Read(ref enough))
            {
                dice = (dice * 1_664_525) + 1_013_904_223;
                CountingScans.Produce(buffer, (int)(dice >> 24) % (2 * scansPerHalf) + 1, ref produced);
            }

            // The losses after the last half go with an empty one, as soon as there is room for it.
            while (!buffer.TryBeginFill(out _)) Thread.Yield();
            buffer.CompleteFill(0);
            producerBytes = GC.GetAllocatedBytesForCurrentThread() - before;
            Volatile.Write(ref done, true);
        });

        producer.Start();
        long position = 0;
        long halves = 0;
        bool right = true;
        long consumerBefore = GC.GetAllocatedBytesForCurrentThread();
        while (true)
        {
            bool wasDone = Volatile.Read(ref done);
            if (buffer.TryBeginDrain(out DrainedHalf half))
            {
                right &= CountingScans.Continues(half, ref position);
                if (++halves % 1_000 == 0) Thread.SpinWait(20_000); // a slow consumer now and then: overruns
                right &= buffer.CompleteDrain() == HalfCondition.Whole;
                Volatile.Write(ref enough, IsEnough(halves, start) && buffer.LostScans > 0);
            }
            else if (wasDone)
            {
                break;
            }
            else
            {
                Thread.Yield();
                if (Stopwatch.GetElapsedTime(start) > Most) Volatile.Write(ref enough, true);
            }
        }

        long consumerBytes = GC.GetAllocatedBytesForCurrentThread() - consumerBefore;
        producer.Join();

        Assert.True(right, "A half did not continue where the half before ended.");
        Assert.Equal(produced, position);
        Assert.Equal((0, 0), (producerBytes, consumerBytes));
        Assert.True(halves >= EnoughHalves, $"Only {halves} halves went through; the run proves nothing.");
        Assert.True(buffer.LostScans > 0, "No overrun happened; the run proves nothing.");
    }

    [Fact]
    public void Overwrite_TwoThreads_AWholeHalfHeldItsScansToTheEnd()
    {
        const int scansPerHalf = 256;
        var hardware = new CircularTransfer();
        var buffer = new PingPongBuffer(new PingPongOptions { ScansPerHalf = scansPerHalf, Policy = OverrunPolicy.Overwrite });
        hardware.Connect(buffer);
        bool enough = false;
        var producer = new Thread(() =>
        {
            uint dice = 1;
            while (!Volatile.Read(ref enough))
            {
                dice = (dice * 1_664_525) + 1_013_904_223;
                hardware.Write(scansPerHalf);
                Thread.SpinWait((int)(dice >> 22)); // sometimes faster than the reader, sometimes slower
                if (dice >> 28 == 0) Thread.Yield();
            }
        });

        long start = Stopwatch.GetTimestamp();
        producer.Start();
        long position = 0;
        long whole = 0;
        long suspect = 0;
        bool right = true;
        while (!IsEnough(whole, start))
        {
            if (!buffer.TryBeginDrain(out DrainedHalf half))
            {
                Thread.Yield();
                continue;
            }

            bool held = CountingScans.Continues(half, ref position);
            if (buffer.CompleteDrain() == HalfCondition.Whole)
            {
                whole++;
                right &= held;
            }
            else
            {
                suspect++;
            }
        }

        Volatile.Write(ref enough, true);
        producer.Join();
        Assert.True(right, "A half was called whole and did not hold its scans.");
        Assert.True(whole >= EnoughHalves, $"Only {whole} halves were whole; the run proves nothing.");
        Assert.Equal(suspect * scansPerHalf, buffer.SuspectScans);
        Assert.Equal(position, ((whole + suspect) * scansPerHalf) + buffer.LostScans);
    }

    private static bool IsEnough(long halves, long start)
    {
        TimeSpan elapsed = Stopwatch.GetElapsedTime(start);
        return elapsed > Most || (halves >= EnoughHalves && elapsed >= Least);
    }
}
