using System.Diagnostics;
using Acquire.Capture;
using Acquire.Tests.Doubles;

namespace Acquire.Tests.Capture;

/// <summary>Two real threads at full speed, each half checked word by word. Short here; a longer run sets ACQUIRE_STRESS_SECONDS.</summary>
[Trait("Category", "Stress")]
[Collection(nameof(Alone))]
public class PingPongStressTests
{
    private static readonly TimeSpan Duration = TimeSpan.FromSeconds(
        double.TryParse(Environment.GetEnvironmentVariable("ACQUIRE_STRESS_SECONDS"), out double seconds) ? seconds : 1);

    [Theory]
    [InlineData(1)]
    [InlineData(64)]
    public void Drop_TwoThreads_EveryScanIsInAHalfOrInAGap(int scansPerHalf)
    {
        var buffer = new PingPongBuffer(new PingPongOptions { ScansPerHalf = scansPerHalf });
        long produced = 0;
        bool done = false;
        long producerBytes = 0;
        var producer = new Thread(() =>
        {
            long until = Stopwatch.GetTimestamp() + (long)(Duration.TotalSeconds / 2 * Stopwatch.Frequency);
            uint dice = 1;
            long before = GC.GetAllocatedBytesForCurrentThread();
            while (Stopwatch.GetTimestamp() < until)
            {
                dice = (dice * 1_664_525) + 1_013_904_223;
                CountingScans.Produce(buffer, (int)(dice >> 24) % (2 * scansPerHalf) + 1, ref produced);
            }

            // The losses after the last half go with an empty one, as soon as there is room for it.
            while (!buffer.TryBeginFill(out _)) Thread.SpinWait(1);
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
            }
            else if (wasDone)
            {
                break;
            }
        }

        long consumerBytes = GC.GetAllocatedBytesForCurrentThread() - consumerBefore;
        producer.Join();

        Assert.True(right, "A half did not continue where the half before ended.");
        Assert.Equal(produced, position);
        Assert.Equal((0, 0), (producerBytes, consumerBytes));
        Assert.True(halves > 100, $"Only {halves} halves went through; the run proves nothing.");
        Assert.True(buffer.LostScans > 0, "No overrun happened; the run proves nothing.");
    }

    [Fact]
    public void Overwrite_TwoThreads_AWholeHalfHeldItsScansToTheEnd()
    {
        const int scansPerHalf = 256;
        var hardware = new CircularTransfer();
        var buffer = new PingPongBuffer(new PingPongOptions { ScansPerHalf = scansPerHalf, Policy = OverrunPolicy.Overwrite });
        hardware.Connect(buffer);
        bool done = false;
        var producer = new Thread(() =>
        {
            long until = Stopwatch.GetTimestamp() + (long)(Duration.TotalSeconds * Stopwatch.Frequency);
            uint dice = 1;
            while (Stopwatch.GetTimestamp() < until)
            {
                dice = (dice * 1_664_525) + 1_013_904_223;
                hardware.Write(scansPerHalf);
                Thread.SpinWait((int)(dice >> 22)); // sometimes faster than the reader, sometimes slower
            }

            Volatile.Write(ref done, true);
        });

        producer.Start();
        long position = 0;
        long whole = 0;
        long suspect = 0;
        bool right = true;
        while (!Volatile.Read(ref done))
        {
            if (!buffer.TryBeginDrain(out DrainedHalf half)) continue;
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

        producer.Join();
        Assert.True(right, "A half was called whole and did not hold its scans.");
        Assert.True(whole > 100, $"Only {whole} halves were whole; the run proves nothing.");
        Assert.Equal(suspect * scansPerHalf, buffer.SuspectScans);
        Assert.Equal(position, ((whole + suspect) * scansPerHalf) + buffer.LostScans);
    }
}
