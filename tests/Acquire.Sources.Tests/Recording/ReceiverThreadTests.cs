using Acquire.Capture;
using Acquire.Sources.Recording;
using Acquire.Sources.Tests.Doubles;

namespace Acquire.Sources.Tests.Recording;

public sealed class ReceiverThreadTests
{
    [Fact]
    public void EverythingArrivesInOrder()
    {
        HeardStream heard = new();
        using ReceiverThread queue = new(heard, mostWords: 64);
        for (int i = 0; i < 100; i++)
        {
            queue.Take(NumberedScans.From(i * 1_000, 1_000));
            if (i % 10 == 3) queue.Skip(5, GapCause.Link);
            if (i % 10 == 5) queue.Say("words " + i);
        }

        queue.Break(GapCause.Reset, 2);
        queue.Complete();

        Assert.Equal(NumberedScans.From(0, 100_000), heard.Words);
        Assert.Equal(21, heard.Events.Count);
        Assert.Equal("4000 skip 5 Link", heard.Events[0]);
        Assert.Equal("6000 say words 5", heard.Events[1]);
        Assert.Equal("100000 break Reset 2", heard.Events[^1]);
    }

    [Fact]
    public void AnyCall_AfterTheEnd_IsRefusedInsteadOfLost()
    {
        HeardStream heard = new();
        using ReceiverThread queue = new(heard);
        queue.Take(NumberedScans.From(0, 10));
        queue.Complete();

        foreach (Action call in (Action[])[() => queue.Take(NumberedScans.From(10, 10)), () => queue.Skip(1, GapCause.Link), () => queue.Break(GapCause.Reset, 0),
            () => queue.Mark(0, 1), () => queue.Say("words"), () => queue.Describe(new StreamDescription())])
            Assert.Contains("has ended", Assert.Throws<InvalidOperationException>(call).Message, StringComparison.Ordinal);

        Assert.Equal(NumberedScans.From(0, 10), heard.Words);
    }

    [Fact]
    public async Task SlowReceiver_MakesTheSourceWait_NotMemoryGrow()
    {
        using ManualResetEventSlim go = new();
        using ReceiverThread queue = new(new HeardStream { BeforeTake = go.Wait }, mostWords: 40_000);
        Task source = Task.Run(() =>
        {
            for (int i = 0; i < 50; i++) queue.Take(NumberedScans.From(i * 1_000, 1_000));
        });
        Assert.True(SpinWait.SpinUntil(() => queue.HighWaterWords >= 40_000, TimeSpan.FromSeconds(20)));
        go.Set();
        await source;
        queue.Complete();

        Assert.InRange(queue.HighWaterWords, 40_000, 60_000);
    }

    [Fact]
    public async Task SlowReceiver_OfAKnownRate_LetsNoMoreThanTheTimeWait()
    {
        using ManualResetEventSlim go = new();
        using ReceiverThread queue = new(new HeardStream { BeforeTake = go.Wait }, mostTime: TimeSpan.FromMilliseconds(250));
        queue.Describe(new StreamDescription { Scan = new ScanFormat { ScanRateHz = 4_000 } });
        Task source = Task.Run(() =>
        {
            for (int i = 0; i < 50; i++) queue.Take(NumberedScans.From(i * 100, 100));
        });
        Assert.True(SpinWait.SpinUntil(() => queue.HighWaterWords >= 2_000, TimeSpan.FromSeconds(20)));
        go.Set();
        await source;
        queue.Complete();

        Assert.InRange(queue.HighWaterWords, 2_000, 2_200);
    }

    [Fact]
    public void ReceiverThatFails_StopsTheSource()
    {
        using ReceiverThread queue = new(new HeardStream { BeforeTake = () => throw new IOException("full") }, mostWords: 1);

        bool stopped = SpinWait.SpinUntil(() => Record.Exception(() => queue.Take([1, 2])) is IOException, TimeSpan.FromSeconds(20));

        Assert.True(stopped);
        Assert.Throws<IOException>(queue.Complete);
    }

    [Fact]
    public void Idle_IsCalledWhileNothingComes()
    {
        using ManualResetEventSlim idle = new();
        using ReceiverThread queue = new(new HeardStream(), idle: idle.Set, idleTime: TimeSpan.FromMilliseconds(1));

        Assert.True(idle.Wait(TimeSpan.FromSeconds(20)));
    }
}
