using Acquire.Capture;
using Acquire.Tests.Doubles;
using CsCheck;

namespace Acquire.Tests.Capture;

public class PingPongOverwriteTests
{
    private static PingPongOptions Options(int scansPerHalf, int channels = 2) =>
        new() { ScansPerHalf = scansPerHalf, ChannelCount = channels, Policy = OverrunPolicy.Overwrite };

    private static (PingPongBuffer Buffer, CircularTransfer Hardware) Connect(int scansPerHalf, bool eventsAreLate = false, bool positionIsKnown = false)
    {
        var hardware = new CircularTransfer(eventsAreLate);
        var buffer = new PingPongBuffer(Options(scansPerHalf), positionIsKnown ? hardware : null);
        hardware.Connect(buffer);
        return (buffer, hardware);
    }

    [Fact]
    public void Drain_InTime_IsWholeAndComplete()
    {
        var (buffer, hardware) = Connect(4);
        long position = 0;
        for (int half = 0; half < 5; half++)
        {
            Assert.False(buffer.TryBeginDrain(out _));
            hardware.Write(4);
            Assert.True(buffer.TryBeginDrain(out DrainedHalf drained));
            CountingScans.AssertContinues(drained, ref position);
            Assert.Equal(HalfCondition.Whole, buffer.CompleteDrain());
        }

        Assert.Equal((20, 0, 0), (position, buffer.LostScans, buffer.SuspectScans));
    }

    [Theory]
    [InlineData(4)]
    [InlineData(PingPongOptions.MaxScansPerHalf)]
    public void AdvanceTo_MoreHalvesThanAStreamMayLose_IsRefusedAndChangesNothing(int scansPerHalf)
    {
        var buffer = new PingPongBuffer(Options(scansPerHalf));
        long most = Math.Min(long.MaxValue >> 16, ScanGap.MostLostScans / scansPerHalf);

        Assert.Equal("readyHalves", Assert.Throws<ArgumentOutOfRangeException>(() => buffer.AdvanceTo(most + 1)).ParamName);
        Assert.Throws<ArgumentOutOfRangeException>(() => buffer.AdvanceTo(long.MaxValue));
        Assert.False(buffer.TryBeginDrain(out _));
        buffer.AdvanceTo(most);
        Assert.True(buffer.TryBeginDrain(out DrainedHalf half));
        Assert.Equal((most - 1) * scansPerHalf, half.GapsBefore[0].LostScans);
    }

    [Fact]
    public void CompleteDrain_HardwareReachedTheHalfAgain_IsSuspect()
    {
        // memory: [0 1 2 3] [4 5 6 7], hardware at 8 begins to write over the half that is being read
        var (buffer, hardware) = Connect(4);
        hardware.Write(4);
        Assert.True(buffer.TryBeginDrain(out _));
        hardware.Write(4);

        Assert.Equal(HalfCondition.Suspect, buffer.CompleteDrain());
        Assert.Equal(4, buffer.SuspectScans);
    }

    [Theory]
    [InlineData(1, 0, false)]
    [InlineData(3, 0, false)]
    [InlineData(4, 0, true)]
    [InlineData(5, 0, true)]
    [InlineData(8, 4, true)]
    [InlineData(9, 4, true)]
    public void CompleteDrain_HardwareWroteSomeScansMeanwhile_IsSuspectFromOneHalfOn(int scans, int lost, bool suspect)
    {
        var (buffer, hardware) = Connect(4);
        hardware.Write(4);
        Assert.True(buffer.TryBeginDrain(out _));
        hardware.Write(scans);
        Assert.Equal(suspect ? HalfCondition.Suspect : HalfCondition.Whole, buffer.CompleteDrain());

        long position = 4;
        while (buffer.TryBeginDrain(out DrainedHalf half))
        {
            CountingScans.AssertContinues(half, ref position);
            buffer.CompleteDrain();
        }

        Assert.Equal(lost, buffer.LostScans);
        Assert.Equal((4 + scans) / 4 * 4, position);
    }

    [Fact]
    public void TryBeginDrain_HalvesWentUnread_LosesAllButTheNewestAndCountsThem()
    {
        var (buffer, hardware) = Connect(4);
        hardware.Write(21); // halves 0..4, and one scan of half 5

        Assert.True(buffer.TryBeginDrain(out DrainedHalf half));
        Assert.Equal([new ScanGap(16, GapCause.Overrun)], half.GapsBefore.ToArray());
        Assert.True(CountingScans.HoldsFrom(half, 16));
        Assert.Equal(HalfCondition.Whole, buffer.CompleteDrain());
        Assert.Equal(16, buffer.LostScans);
    }

    [Fact]
    public void HalfReady_SameHalfTwiceRunning_IsABreak()
    {
        var (buffer, hardware) = Connect(4, eventsAreLate: true);
        hardware.Write(4);
        hardware.ServeEvents();
        Assert.True(buffer.TryBeginDrain(out _));
        Assert.Equal(HalfCondition.Whole, buffer.CompleteDrain());
        hardware.Write(8);
        hardware.ServeLastEvent(); // half 1 went by unseen, half 0 is full again

        Assert.True(buffer.TryBeginDrain(out DrainedHalf half));
        Assert.Equal([new ScanGap(0, GapCause.Unknown)], half.GapsBefore.ToArray());
        Assert.True(CountingScans.HoldsFrom(half, 8));
        Assert.Equal(0, buffer.LostScans);
    }

    [Fact]
    public void HalfReady_EventsMissingButPositionKnown_CountsExactly()
    {
        var (buffer, hardware) = Connect(4, eventsAreLate: true, positionIsKnown: true);
        hardware.Write(30); // 7 halves, only the last event was served
        hardware.ServeLastEvent();

        Assert.True(buffer.TryBeginDrain(out DrainedHalf half));
        Assert.Equal([new ScanGap(24, GapCause.Overrun)], half.GapsBefore.ToArray());
        Assert.True(CountingScans.HoldsFrom(half, 24));
    }

    [Fact]
    public void CompleteDrain_EventIsLateButPositionKnown_IsSuspectAllTheSame()
    {
        var (late, hardware) = Connect(4, eventsAreLate: true);
        var (exact, hardwareWithPosition) = Connect(4, eventsAreLate: true, positionIsKnown: true);
        foreach ((PingPongBuffer buffer, CircularTransfer transfer, HalfCondition expected) in
            new[] { (late, hardware, HalfCondition.Whole), (exact, hardwareWithPosition, HalfCondition.Suspect) })
        {
            transfer.Write(4);
            transfer.ServeEvents();
            Assert.True(buffer.TryBeginDrain(out _));
            transfer.Write(5); // one scan of the half being read is gone, the event of the other half not served

            // Events alone cannot know it; that is what the position is for.
            Assert.Equal(expected, buffer.CompleteDrain());
        }
    }

    [Fact]
    public void AdvanceTo_SeveralHalves_CountsThemAndRefusesToGoBack()
    {
        var buffer = new PingPongBuffer(Options(4));
        buffer.AdvanceTo(3);
        buffer.AdvanceTo(3);

        Assert.Contains("does not go back", Assert.Throws<ArgumentOutOfRangeException>(() => buffer.AdvanceTo(2)).Message);
        Assert.True(buffer.TryBeginDrain(out DrainedHalf half));
        Assert.Equal([new ScanGap(8, GapCause.Overrun)], half.GapsBefore.ToArray());
    }

    [Fact]
    public void Misuse_NamesTheMissingCallOrPolicy()
    {
        var (buffer, hardware) = Connect(4);
        Assert.Contains("TryBeginDrain", Assert.Throws<InvalidOperationException>(() => buffer.CompleteDrain()).Message);
        Assert.Contains("Drop", Assert.Throws<InvalidOperationException>(() => buffer.TryBeginFill(out _)).Message);
        Assert.Throws<InvalidOperationException>(() => buffer.CompleteFill(1));
        Assert.Throws<InvalidOperationException>(() => buffer.Skip(1, GapCause.Overrun));
        Assert.Throws<ArgumentOutOfRangeException>(() => buffer.HalfReady(2));
        hardware.Write(4);
        Assert.True(buffer.TryBeginDrain(out _));
        Assert.Contains("CompleteDrain", Assert.Throws<InvalidOperationException>(() => buffer.TryBeginDrain(out _)).Message);
    }

    // Hardware writes, events are served late or at once, the consumer begins and ends when it likes. Held against the values in
    // memory: gaps and halves tile the stream; a half found whole held its scans to the end of the drain.
    [Fact]
    public void AnySequence_PositionKnown_TilesTheStreamAndNeverCallsAChangedHalfWhole() =>
        Gen.Select(Gen.Int[1, 5], Gen.Bool, Gen.Select(Gen.Int[0, 3], Gen.Int[1, 12]).Array[0, 80]).Sample((scansPerHalf, late, steps) =>
        {
            var (buffer, hardware) = Connect(scansPerHalf, late, positionIsKnown: true);
            long position = 0;
            long start = -1;
            long suspect = 0;
            foreach ((int step, int size) in steps)
            {
                if (step == 0) hardware.Write(size);
                if (step == 1) hardware.ServeEvents();
                if (step == 2 && start < 0 && buffer.TryBeginDrain(out DrainedHalf half))
                {
                    foreach (ScanGap gap in half.GapsBefore) position += gap.LostScans;
                    start = position;
                    position += half.ScanCount;
                }

                if (step != 3 || start < 0) continue;
                bool intact = true;
                Span<ushort> words = buffer.MemoryOf((int)(start / scansPerHalf & 1)).Span;
                for (int i = 0; i < words.Length; i++) intact &= words[i] == CountingScans.WordOf(start + (i / 2), i % 2);
                bool reached = hardware.ScansWritten >= start + (2 * scansPerHalf);
                HalfCondition found = buffer.CompleteDrain();
                if (found != (reached ? HalfCondition.Suspect : HalfCondition.Whole)) return false;
                if (found == HalfCondition.Whole && !intact) return false;
                if (reached) suspect += scansPerHalf;
                start = -1;
            }

            return buffer.SuspectScans == suspect && position <= hardware.ScansWritten;
        });

    [Fact]
    public void AnySequence_EventsOnly_AgreesWithCountingByHand() =>
        Gen.Select(Gen.Int[1, 4], Gen.Int[0, 2].Array[0, 80]).Sample((scansPerHalf, steps) =>
        {
            var (buffer, hardware) = Connect(scansPerHalf);
            long next = 0; // half that a consumer in time would read next
            long reading = -1;
            foreach (int step in steps)
            {
                long ready = hardware.ScansWritten / scansPerHalf;
                if (step == 0) hardware.Write(scansPerHalf);
                if (step == 1 && reading < 0)
                {
                    bool begun = buffer.TryBeginDrain(out DrainedHalf half);
                    if (begun != ready > next) return false;
                    if (!begun) continue;
                    reading = ready - 1;
                    long lost = (reading - next) * scansPerHalf;
                    if ((lost == 0 ? half.GapsBefore.Length : half.GapsBefore[0].LostScans) != lost) return false;
                    if (!CountingScans.HoldsFrom(half, reading * scansPerHalf)) return false;
                    next = ready;
                }

                if (step != 2 || reading < 0) continue;
                if (buffer.CompleteDrain() != (ready > reading + 1 ? HalfCondition.Suspect : HalfCondition.Whole)) return false;
                reading = -1;
            }

            return true;
        });

    [Fact]
    public void SteadyState_WithLostAndSuspectHalves_AllocatesNothing()
    {
        var (buffer, hardware) = Connect(8);

        Allocation.AssertNone(() =>
        {
            hardware.Write(29);
            if (!buffer.TryBeginDrain(out _)) return;
            hardware.Write(8);
            buffer.CompleteDrain();
        });

        Assert.True(buffer.LostScans > 0);
        Assert.True(buffer.SuspectScans > 0);
    }
}
