using Acquire.Capture;
using Acquire.Sources.Sessions;
using Acquire.Sources.Tests.Doubles;

namespace Acquire.Sources.Tests.Sessions;

public class HalfExchangeTests
{
    [Fact]
    public void WaitForHalf_EngineIdle_TakesWhatThereIs()
    {
        HalfExchange exchange = new(new ScanFormat(), scansPerHalf: 1_000, producerWaits: false, TimeProvider.System);

        exchange.Take(NumberedScans.From(0, 3));

        Assert.True(exchange.WaitForHalf(out DrainedHalf half, out _, new(), out _));
        Assert.Equal(3, half.ScanCount);
    }

    [Theory]
    [InlineData(9, 0)]
    [InlineData(10, 0)]
    [InlineData(11, 0)]
    [InlineData(19, 0)]
    [InlineData(20, 0)]
    [InlineData(21, 1)]
    [InlineData(40, 20)]
    public void Take_AroundTheCapacityOfBothHalves_LosesWhatIsBeyond(int scans, int lost)
    {
        HalfExchange exchange = new(new ScanFormat(), scansPerHalf: 10, producerWaits: false, TimeProvider.System);

        exchange.Take(NumberedScans.From(0, scans));
        exchange.End();

        (int taken, long skipped) = Drain(exchange);
        Assert.Equal(scans - lost, taken);
        Assert.Equal(lost, skipped);
        Assert.Equal(lost, exchange.OverrunScans);
    }

    [Fact]
    public void TakeAndDrain_SteadyState_AllocatesNothing()
    {
        HalfExchange exchange = new(new ScanFormat(), scansPerHalf: 64, producerWaits: false, TimeProvider.System);
        ushort[] scans = NumberedScans.From(0, 50);
        Queue<StreamMark> marks = new(64);
        Round();

        long before = GC.GetAllocatedBytesForCurrentThread();
        Round();
        Assert.Equal(0, GC.GetAllocatedBytesForCurrentThread() - before);

        void Round()
        {
            for (int i = 0; i < 1_000; i++)
            {
                exchange.Take(scans);
                exchange.Skip(1, GapCause.Link);
                exchange.Take(scans);
                exchange.Mark(0, 1);
                while (exchange.WaitForHalf(out DrainedHalf half, out _, marks, out _))
                {
                    bool last = half.ScanCount < 64;
                    exchange.Release();
                    marks.Clear();
                    if (last) break;
                }
            }
        }
    }

    [Fact]
    public void Abandon_WhileTheSourceWaits_LetsItGo()
    {
        HalfExchange exchange = new(new ScanFormat(), scansPerHalf: 10, producerWaits: true, TimeProvider.System);
        Thread source = new(() => exchange.Take(NumberedScans.From(0, 100))) { IsBackground = true };
        source.Start();

        exchange.Abandon();

        Assert.True(source.Join(TimeSpan.FromSeconds(20)));
        Assert.False(exchange.WaitForHalf(out _, out _, new(), out _));
        Assert.Equal(0, exchange.OverrunScans);
    }

    private static (int Taken, long Lost) Drain(HalfExchange exchange)
    {
        int taken = 0;
        long lost = 0;
        while (exchange.WaitForHalf(out DrainedHalf half, out ReadOnlySpan<StreamLoss> losses, new(), out _))
        {
            taken += half.ScanCount;
            foreach (ScanGap gap in half.GapsBefore) lost += gap.LostScans;
            foreach (StreamLoss loss in losses) lost += loss.LostScans;
            exchange.Release();
        }

        return (taken, lost);
    }
}
