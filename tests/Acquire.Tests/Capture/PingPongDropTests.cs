using System.Runtime.InteropServices;
using Acquire.Capture;
using Acquire.Tests.Doubles;
using Acquire.Tests.Models;
using CsCheck;

namespace Acquire.Tests.Capture;

public class PingPongDropTests
{
    private static PingPongOptions Options(int scansPerHalf, int channels = 1) =>
        new() { ScansPerHalf = scansPerHalf, ChannelCount = channels };

    [Fact]
    public void Drain_AfterTwoFills_GivesTheHalvesInOrder()
    {
        // halves: [1 2 3] [4 5 _]
        var buffer = new PingPongBuffer(Options(3));
        Fill(buffer, 1, 2, 3);
        Fill(buffer, 4, 5);

        Assert.Equal("1 2 3", Drain(buffer));
        Assert.Equal("4 5", Drain(buffer));
        Assert.Equal("nothing", Drain(buffer));
    }

    [Fact]
    public void TryBeginFill_ConsumerHoldsBothHalves_IsFalseAndTheSkippedScansAreReportedInOrder()
    {
        // stream: 1 2 | 3 4 | (5 6 7 lost) | 8
        var buffer = new PingPongBuffer(Options(2));
        Fill(buffer, 1, 2);
        Fill(buffer, 3, 4);
        Assert.False(buffer.TryBeginFill(out _));
        buffer.Skip(2, GapCause.Overrun);
        buffer.Skip(1, GapCause.Overrun);

        Assert.Equal("1 2", Drain(buffer));
        Fill(buffer, 8);
        Assert.Equal("3 4", Drain(buffer));
        Assert.Equal("(3 Overrun) 8", Drain(buffer));
        Assert.Equal(3, buffer.LostScans);
    }

    [Fact]
    public void CompleteFill_NoScansButGaps_HandsTheGapsOver()
    {
        var buffer = new PingPongBuffer(Options(2));
        buffer.Skip(7, GapCause.Link);
        Fill(buffer);

        Assert.Equal("(7 Link)", Drain(buffer).Trim());
    }

    [Fact]
    public void CompleteFill_NoScansAndNoGaps_LeavesTheHalfWithTheProducer()
    {
        var buffer = new PingPongBuffer(Options(2));
        Fill(buffer);

        Assert.Equal("nothing", Drain(buffer));
        Fill(buffer, 9);
        Assert.Equal("9", Drain(buffer));
    }

    [Fact]
    public void Skip_ManyGapsAtOnePlace_KeepsEveryCountOnItsSideOfTheBreak()
    {
        var buffer = new PingPongBuffer(Options(2));
        buffer.Skip(1, GapCause.Overrun);
        buffer.Skip(10, GapCause.Link);
        buffer.Skip(2, GapCause.Overrun);
        buffer.Skip(0, GapCause.Reset);
        buffer.Skip(100, GapCause.Link);
        buffer.Skip(0, GapCause.Unknown);
        buffer.Skip(200, GapCause.Link);
        buffer.Skip(5, GapCause.File);
        Fill(buffer, 1);

        Assert.Equal("(3 Overrun) (10 Link) (0 Reset) (300 Link) (5 File) 1", Drain(buffer));
        Assert.Equal(318, buffer.LostScans);
    }

    [Theory]
    [InlineData(1, 1)]
    [InlineData(1, 2)]
    [InlineData(8, 1)]
    [InlineData(8, 7)]
    [InlineData(8, 8)]
    [InlineData(8, 9)]
    [InlineData(8, 16)]
    [InlineData(8, 17)]
    public void Produce_NothingDrained_KeepsTwoHalvesAndCountsTheRest(int scansPerHalf, int scans)
    {
        var buffer = new PingPongBuffer(Options(scansPerHalf, channels: 2));
        long next = 0;
        CountingScans.Produce(buffer, scans, ref next);

        long seen = 0;
        int inHalves = 0;
        while (buffer.TryBeginDrain(out DrainedHalf half))
        {
            CountingScans.AssertContinues(half, ref seen);
            inHalves += half.ScanCount;
            Assert.Equal(HalfCondition.Whole, buffer.CompleteDrain());
        }

        Assert.Equal(Math.Min(scans, 2 * scansPerHalf), inHalves);
        Assert.Equal(scans - inHalves, buffer.LostScans);
    }

    [Fact]
    public void AnySequence_WithMisuse_AgreesWithTheModelThatCarriesValues() =>
        Gen.Select(Gen.Int[1, 5], Gen.Select(Gen.Int[0, 5], Gen.Int[0, 6], Gen.Enum<GapCause>()).Array[0, 120]).Sample((scansPerHalf, steps) =>
        {
            var buffer = new PingPongBuffer(Options(scansPerHalf));
            var model = new SlowPingPong(scansPerHalf);
            ushort next = 0;
            foreach ((int step, int size, GapCause cause) in steps)
            {
                switch (step)
                {
                    case 0:
                        Assert.Equal(model.TryBeginFill(), Guarded(() => buffer.TryBeginFill(out _)));
                        break;
                    case 1:
                        ushort[] scans = [.. Enumerable.Range(0, size).Select(_ => next++)];
                        if (model.IsFilling && size <= scansPerHalf) scans.CopyTo(buffer.MemoryOf(model.HandedOver & 1).Span);
                        Assert.Equal(model.CompleteFill(scans), Guarded(() =>
                        {
                            buffer.CompleteFill(scans.Length);
                            return true;
                        }));
                        break;
                    case 2:
                        var gap = new ScanGap(size == 6 ? 0 : size, cause);
                        Assert.Equal(model.Skip(gap), Guarded(() =>
                        {
                            buffer.Skip(gap.LostScans, gap.Cause);
                            return true;
                        }));
                        break;
                    case 3:
                        SlowPingPong.Half? expected = null;
                        string? actual = null;
                        Assert.Equal(model.TryBeginDrain(out expected), Guarded(() =>
                        {
                            if (!buffer.TryBeginDrain(out DrainedHalf half)) return false;
                            actual = $"{SlowPingPong.Half.Canonical(half.GapsBefore.ToArray())} : {string.Join(' ', half.Scans.ToArray())}";
                            Assert.Equal(half.Scans.Length, half.ScanCount);
                            return true;
                        }));
                        Assert.Equal(expected is null ? null : $"{SlowPingPong.Half.Canonical(expected.Gaps)} : {string.Join(' ', expected.Scans)}", actual);
                        break;
                    default:
                        Assert.Equal(model.CompleteDrain(), Guarded(() => buffer.CompleteDrain() == HalfCondition.Whole));
                        break;
                }

                Assert.Equal(model.LostScans, buffer.LostScans);
            }
        });

    [Fact]
    public void Misuse_EachPair_NamesTheMissingCall()
    {
        var buffer = new PingPongBuffer(Options(4));
        Assert.Contains("TryBeginFill", Assert.Throws<InvalidOperationException>(() => buffer.CompleteFill(1)).Message);
        Assert.Contains("TryBeginDrain", Assert.Throws<InvalidOperationException>(() => buffer.CompleteDrain()).Message);

        Assert.True(buffer.TryBeginFill(out _));
        Assert.Contains("CompleteFill", Assert.Throws<InvalidOperationException>(() => buffer.TryBeginFill(out _)).Message);
        Assert.Contains("CompleteFill", Assert.Throws<InvalidOperationException>(() => buffer.Skip(1, GapCause.Overrun)).Message);
        Assert.Contains("Half has 5 scans but ScansPerHalf is 4", Assert.Throws<ArgumentOutOfRangeException>(() => buffer.CompleteFill(5)).Message);
        Assert.Throws<ArgumentOutOfRangeException>(() => buffer.CompleteFill(-1));
        buffer.CompleteFill(4);

        Assert.True(buffer.TryBeginDrain(out _));
        Assert.Contains("CompleteDrain", Assert.Throws<InvalidOperationException>(() => buffer.TryBeginDrain(out _)).Message);
        buffer.CompleteDrain();
        Assert.Throws<InvalidOperationException>(() => buffer.CompleteDrain());
        Assert.Throws<ArgumentOutOfRangeException>(() => buffer.Skip(0, GapCause.Overrun));
        Assert.Throws<ArgumentOutOfRangeException>(() => buffer.Skip(1, GapCause.Reset));
        Assert.Equal("cause", Assert.Throws<ArgumentOutOfRangeException>(() => buffer.Skip(1, (GapCause)5)).ParamName);
        Assert.Equal(0, buffer.LostScans);
        Assert.Contains("Overwrite", Assert.Throws<InvalidOperationException>(() => buffer.HalfReady(0)).Message);
        Assert.Throws<InvalidOperationException>(() => buffer.AdvanceTo(1));
    }

    [Fact]
    public void New_BadOptionsOrMemory_SaysValueAndFix()
    {
        Assert.Contains("ScansPerHalf is 0", Assert.Throws<ArgumentException>(() => new PingPongBuffer(Options(0))).Message);
        Assert.Throws<ArgumentException>(() => new PingPongBuffer(Options(PingPongOptions.MaxScansPerHalf + 1)));
        Assert.Throws<ArgumentException>(() => new PingPongBuffer(Options(1, channels: 9)));
        Assert.Throws<ArgumentException>(() => new PingPongBuffer(new PingPongOptions { Policy = (OverrunPolicy)2 }));
        Assert.Contains("need 16", Assert.Throws<ArgumentException>(() => new PingPongBuffer(Options(4, channels: 2), new ushort[15])).Message);
        Assert.Throws<ArgumentException>(() => new PingPongBuffer(Options(4), new CircularTransfer()));
        Assert.Throws<ArgumentException>(() => PingPongBuffer.OnNativeMemory(Options(4), 0));
        Assert.Throws<ArgumentException>(() => PingPongBuffer.OnNativeMemory(Options(4), 1_001));
    }

    [Fact]
    public void CallersMemory_ManagedOrNative_IsWhereTheScansAre()
    {
        ushort[] words = new ushort[9];
        var managed = new PingPongBuffer(Options(2, channels: 2), words.AsMemory(1));
        Fill(managed, 1, 2, 3, 4);
        Assert.Equal([0, 1, 2, 3, 4, 0, 0, 0, 0], words);

        nint address = Marshal.AllocHGlobal(8 * sizeof(ushort));
        try
        {
            var native = PingPongBuffer.OnNativeMemory(Options(2, channels: 2), address);
            native.MemoryOf(0).Span.Clear();
            Fill(native, 5, 6, 7, 8);
            Fill(native, 9, 10);
            Assert.Equal(6, Marshal.ReadInt16(address, 2));
            Assert.Equal(9, Marshal.ReadInt16(address, 8));
            Assert.Equal("5 6 7 8", Drain(native));
            Assert.Equal("9 10", Drain(native));
        }
        finally
        {
            Marshal.FreeHGlobal(address);
        }
    }

    [Fact]
    public void MemoryOf_OwnMemory_DoesNotMove()
    {
        var buffer = new PingPongBuffer(Options(4));
        using System.Buffers.MemoryHandle before = buffer.MemoryOf(1).Pin();

        Assert.True(MemoryMarshal.TryGetArray(buffer.MemoryOf(0), out ArraySegment<ushort> segment));
        Assert.Equal(2, GC.GetGeneration(segment.Array!));
        Assert.Throws<ArgumentOutOfRangeException>(() => buffer.MemoryOf(2));
    }

    [Fact]
    public void SteadyState_WithOverruns_AllocatesNothing()
    {
        var buffer = new PingPongBuffer(Options(16, channels: 2));
        long next = 0;
        long seen = 0;

        Allocation.AssertNone(() =>
        {
            CountingScans.Produce(buffer, 37, ref next);
            while (buffer.TryBeginDrain(out DrainedHalf half))
            {
                CountingScans.AssertContinues(half, ref seen);
                buffer.CompleteDrain();
            }
        });

        Assert.True(buffer.LostScans > 0);
    }

    private static void Fill(PingPongBuffer buffer, params ushort[] words)
    {
        Assert.True(buffer.TryBeginFill(out Span<ushort> half));
        words.CopyTo(half);
        buffer.CompleteFill(words.Length / buffer.Options.ChannelCount);
    }

    private static string Drain(PingPongBuffer buffer)
    {
        if (!buffer.TryBeginDrain(out DrainedHalf half)) return "nothing";
        string text = string.Join(' ', [.. half.GapsBefore.ToArray().Select(g => $"({g.LostScans} {g.Cause})"), .. half.Scans.ToArray().Select(w => $"{w}")]);
        buffer.CompleteDrain();
        return text;
    }

    private static bool? Guarded(Func<bool> call)
    {
        try
        {
            return call();
        }
        catch (Exception e) when (e is InvalidOperationException or ArgumentOutOfRangeException)
        {
            return null;
        }
    }
}
