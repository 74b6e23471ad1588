using Acquire.Traces;
using CsCheck;

namespace Acquire.Tests.Traces;

public class SnapshotPinsTests
{
    [Theory]
    [InlineData(1)]
    [InlineData(2)]
    [InlineData(7)]
    public void FindFree_EverySlotPinnedToAnotherBuffer_StillFindsOne(int readers)
    {
        var pins = new SnapshotPins(readers);
        List<int> pinned = [];
        for (int r = 0; r < readers; r++)
        {
            pinned.Add(pins.Pin(out _));
            pins.Publish(pins.FindFree());
        }

        int free = pins.FindFree();

        Assert.Equal(readers, pinned.Distinct().Count());
        Assert.InRange(free, 0, pins.BufferCount - 1);
        Assert.DoesNotContain(free, pinned);
    }

    [Fact]
    public void Pin_AfterAPublication_IsThePublishedBuffer()
    {
        var pins = new SnapshotPins(1);
        int buffer = pins.FindFree();

        pins.Publish(buffer);

        Assert.Equal(buffer, pins.Pin(out _));
    }

    [Fact]
    public void Settle_WriterPublishedTwiceAfterTheLook_TakesWhatTheWriterChose()
    {
        var pins = new SnapshotPins(1);
        int slot = pins.Claim();
        int looked = pins.Look();
        int first = pins.FindFree();
        pins.Publish(first);
        int second = pins.FindFree();

        int settled = pins.Settle(slot, looked);

        Assert.NotEqual(second, settled);
        Assert.Equal(0, settled);
    }

    [Fact]
    public void Steps_AnyScheduleOfTwoReadersAndAWriter_NeverFillABufferThatIsRead() =>
        Gen.Int[0, 2].Array[10, 120].Sample(schedule => Assert.Null(Run(schedule, claimFirst: true)), iter: 20_000);

    // The schedules above must be able to find the fault that the claim is there for.
    [Fact]
    public void Steps_ReadersThatLookBeforeTheyClaim_AreCaught()
    {
        int caught = 0;
        Gen.Int[0, 2].Array[10, 120].Sample(schedule => { if (Run(schedule, claimFirst: false) is not null) Interlocked.Increment(ref caught); }, iter: 20_000);

        Assert.NotEqual(0, caught);
    }

    /// <summary>Runs one step at a time: 0 and 1 are readers, 2 is the writer.</summary>
    /// <returns>Null, or what went wrong.</returns>
    private static string? Run(int[] schedule, bool claimFirst)
    {
        var pins = new SnapshotPins(2);
        int[] step = [0, 0], slot = [0, 0], looked = [0, 0], held = [-1, -1];
        int filling = -1;
        foreach (int who in schedule)
        {
            if (who == 2)
            {
                if (filling < 0) filling = pins.FindFree();
                else
                {
                    pins.Publish(filling);
                    filling = -1;
                }

                if (filling >= 0 && held.Contains(filling)) return $"Buffer {filling} is filled while it is read.";
                continue;
            }

            switch (step[who]++ % 4)
            {
                case 0:
                    if (claimFirst) slot[who] = pins.Claim();
                    else looked[who] = pins.Look();
                    break;
                case 1:
                    if (claimFirst) looked[who] = pins.Look();
                    else slot[who] = pins.Claim();
                    break;
                case 2:
                    held[who] = pins.Settle(slot[who], looked[who]);
                    if (held[who] == filling) return $"Buffer {filling} is read while it is filled.";
                    break;
                default:
                    held[who] = -1;
                    pins.Unpin(slot[who]);
                    break;
            }
        }

        return null;
    }
}
