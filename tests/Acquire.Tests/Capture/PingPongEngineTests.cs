using Acquire.Capture;

namespace Acquire.Tests.Capture;

/// <summary>The way from a buffer half to the engine, as an embedder writes it.</summary>
public class PingPongEngineTests
{
    private const int SweepScans = 500;

    [Theory]
    [InlineData(64)]
    [InlineData(100)]
    public void Drop_ConsumerTooSlowNowAndThen_NothingIsLostInSilence(int scansPerHalf)
    {
        var buffer = new PingPongBuffer(new PingPongOptions { ScansPerHalf = scansPerHalf });
        var engine = new SweepEngine(new Setup(), new Ignore());
        long produced = 0;
        for (int turn = 0; turn < 200; turn++)
        {
            // Mostly one half in, one half out; every ninth turn three come in at once.
            for (int half = 0; half < (turn % 9 == 8 ? 3 : 1); half++) Produce(buffer, scansPerHalf, ref produced);
            while (buffer.TryBeginDrain(out DrainedHalf half)) Hand(engine, half, buffer);
        }

        Produce(buffer, scans: 0, ref produced);
        while (buffer.TryBeginDrain(out DrainedHalf half)) Hand(engine, half, buffer);
        engine.Complete();

        Accounting account = engine.Accounting;
        Assert.True(account.Lost > 0);
        Assert.Equal(buffer.LostScans, account.Lost);
        Assert.Equal(produced, account.Scans + account.Lost);
        Assert.Equal(account.Scans, account.InColumns + account.Overscan + account.Retrace + account.Rest + account.Blanked + account.Unassigned);
    }

    private static void Hand(SweepEngine engine, DrainedHalf half, PingPongBuffer buffer)
    {
        foreach (ScanGap gap in half.GapsBefore)
        {
            if (gap.IsBreak) engine.Break(gap.Cause);
            else engine.Skip(gap.LostScans, gap.Cause);
        }

        engine.Process(half.Scans);
        buffer.CompleteDrain();
    }

    private static void Produce(PingPongBuffer buffer, int scans, ref long produced)
    {
        if (!buffer.TryBeginFill(out Span<ushort> half))
        {
            buffer.Skip(scans, GapCause.Overrun);
            produced += scans;
            return;
        }

        for (int i = 0; i < scans; i++, produced++)
        {
            half[2 * i] = (ushort)(100 + (produced % SweepScans * 3_800 / SweepScans));
            half[(2 * i) + 1] = (ushort)(produced % 1_000);
        }

        buffer.CompleteFill(scans);
    }

    private sealed class Ignore : ISweepSink
    {
        public void SweepEnded(in SweepView sweep)
        {
            // The accounts are what is looked at here.
        }
    }
}
