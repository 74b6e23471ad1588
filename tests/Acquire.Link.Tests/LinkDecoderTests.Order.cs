using Acquire.Link.Tests.Doubles;

namespace Acquire.Link.Tests;

/// <content>What run, sequence and position make of a frame.</content>
public partial class LinkDecoderTests
{
    [Fact]
    public void Take_FramesMissing_AreAGapOfTheirScans()
    {
        List<byte[]> frames = Frames(10);
        frames.RemoveRange(4, 3);

        (HeardScans heard, LinkDecoder decoder) = Decode(frames.SelectMany(f => f));

        Assert.Equal("gap 30 Link", heard.All[30]);
        Assert.Equal("60,61", heard.All[31]);
        Assert.Equal((60, 30), (decoder.ScansDelivered, decoder.ScansLost));
    }

    [Fact]
    public void Take_PositionAheadThoughNoFrameIsMissing_IsTheDevicesOverrun()
    {
        byte[] first = Raw(new LinkHeader(LinkFrameKind.Scans16, 1, 5, 100), [2, 12, .. Masked(1, 0, 2, 0)]);
        byte[] next = Raw(new LinkHeader(LinkFrameKind.Scans16, 1, 6, 131), [2, 12, .. Masked(3, 0, 4, 0)]);

        Assert.Equal("1,2 | gap 30 Overrun | 3,4", Decode([.. first, .. next]).Heard.ToString());
    }

    [Fact]
    public void Take_DuplicatesAndLateFrames_AreDroppedAndCounted()
    {
        List<byte[]> frames = Frames(8);

        // 0 1 1 3 2 4 3 5 6 7: one and three come twice, two comes late.
        (HeardScans heard, LinkDecoder decoder) = Decode(new[] { 0, 1, 1, 3, 2, 4, 3, 5, 6, 7 }.SelectMany(i => frames[i]));

        Assert.Equal(2, decoder.CountOf(LinkVerdict.Duplicate));
        Assert.Equal(1, decoder.CountOf(LinkVerdict.Late));
        Assert.Equal((60, 10, 0), (decoder.ScansDelivered, decoder.ScansLost, decoder.Breaks));
        Assert.Equal("gap 10 Link", heard.All[10]);
    }

    [Theory]
    [InlineData(30, 2)]          // back inside the window: other bytes under a number that was seen
    [InlineData(200, 1)]         // far back, another run
    [InlineData(200, 2)]         // far back, the same run
    public void Take_DeviceBeganAnew_IsABreakAndNothingIsSkipped(int before, ushort runAfter)
    {
        List<byte[]> old = Frames(before, Small with { Run = 2, FirstPosition = 7_000_000 });
        List<byte[]> young = Frames(20, Small with { Run = runAfter });

        (HeardScans heard, LinkDecoder decoder) = Decode([.. old.SelectMany(f => f), .. young.SelectMany(f => f)]);

        Assert.Equal("break Reset at least 0", heard.All[10 * (before - 1)]);
        Assert.Equal("0,1", heard.All[(10 * (before - 1)) + 1]);
        Assert.Equal((10 * (before + 18), 0, 1, 1), (decoder.ScansDelivered, decoder.ScansLost, decoder.Breaks, decoder.Resets));
    }

    [Fact]
    public void Take_OneFrameFromFarBack_IsLateAndChangesNothing()
    {
        List<byte[]> frames = Frames(200);

        (_, LinkDecoder decoder) = Decode([.. frames.Take(150).SelectMany(f => f), .. frames[20], .. frames.Skip(150).SelectMany(f => f), .. frames[3]]);

        Assert.Equal(2, decoder.CountOf(LinkVerdict.Late));
        Assert.Equal((1_990, 0, 0), (decoder.ScansDelivered, decoder.ScansLost, decoder.Breaks));
    }

    [Fact]
    public void Take_PositionBeyondReason_IsABreak()
    {
        byte[] first = Raw(new LinkHeader(LinkFrameKind.Scans16, 1, 5, 100), [2, 12, .. Masked(1, 0, 2, 0)]);
        byte[] next = Raw(new LinkHeader(LinkFrameKind.Scans16, 1, 9, 1UL << 60), [2, 12, .. Masked(3, 0, 4, 0)]);
        byte[] back = Raw(new LinkHeader(LinkFrameKind.Scans16, 1, 10, 50), [2, 12, .. Masked(5, 0, 6, 0)]);

        Assert.Equal("1,2 | break Reset at least 0 | 3,4 | break Reset at least 0 | 5,6", Decode([.. first, .. next, .. back]).Heard.ToString());
    }

    [Fact]
    public void Take_SequenceAndPositionWrap_GoOn()
    {
        byte[] first = Raw(new LinkHeader(LinkFrameKind.Scans16, 1, uint.MaxValue, ulong.MaxValue), [2, 12, .. Masked(1, 0, 2, 0)]);
        byte[] next = Raw(new LinkHeader(LinkFrameKind.Scans16, 1, 0, 0), [2, 12, .. Masked(3, 0, 4, 0)]);

        Assert.Equal("1,2 | 3,4", Decode([.. first, .. next]).Heard.ToString());
    }

    [Fact]
    public void Take_StragglerOfTheRunBefore_IsLate()
    {
        List<byte[]> old = Frames(5);
        List<byte[]> young = Frames(5, Small with { Run = 9 });

        (HeardScans heard, LinkDecoder decoder) = Decode(
            [.. old[0], .. old[1], .. old[3], .. young[0], .. young[1], .. old[4], .. old[2], .. young[2], .. young[3]]);

        Assert.Equal(2, decoder.CountOf(LinkVerdict.Late));
        Assert.Equal((1, 50, 10), (decoder.Breaks, decoder.ScansDelivered, decoder.ScansLost));
        Assert.Equal("20,21", heard.All[^10]);
    }

    [Fact]
    public void Take_StragglerOfARunTwoBack_IsLate()
    {
        List<byte[]> old = Frames(5);
        List<byte[]> young = Frames(5, Small with { Run = 9 });
        List<byte[]> youngest = Frames(5, Small with { Run = 10 });

        (_, LinkDecoder decoder) = Decode([.. old.Take(4).SelectMany(f => f), .. young[0], .. young[1], .. youngest[0], .. old[4], .. youngest[1], .. young[2], .. youngest[2]]);

        Assert.Equal((2, 2), (decoder.CountOf(LinkVerdict.Late), decoder.Breaks));
        Assert.Equal(60, decoder.ScansDelivered);
    }

    [Fact]
    public void Take_DeviceWithTwoRunNumbers_ComesBackToTheFirst()
    {
        byte[] bytes = [.. new[] { 1, 2, 1, 2 }.SelectMany(run => Frames(80, Small with { Run = (ushort)run }).SelectMany(f => f))];

        (_, LinkDecoder decoder) = Decode(bytes);

        Assert.Equal((4 * 790, 3), (decoder.ScansDelivered, decoder.Breaks));
    }

    [Fact]
    public void Take_OverrunThatCannotBeCounted_IsABreakThatSaysAtLeast()
    {
        var encoder = new LinkEncoder(Small);
        var wire = new ByteList();
        encoder.WriteScans([1, 2], wire);
        encoder.WriteOverrun(4_096, wire, exact: false);
        encoder.BeginRun(2);
        encoder.WriteScans([3, 4], wire);

        (HeardScans heard, LinkDecoder decoder) = Decode(wire.ToArray());

        Assert.Equal("1,2 | break Overrun at least 4096 | 3,4", heard.ToString());
        Assert.Equal((1, 4_096), (decoder.Breaks, decoder.ScansLost));
    }
}
