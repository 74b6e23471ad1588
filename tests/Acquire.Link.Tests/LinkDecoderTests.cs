using Acquire.Capture;
using Acquire.Link.Tests.Doubles;
using Acquire.Scales;
using CsCheck;

namespace Acquire.Link.Tests;

public partial class LinkDecoderTests
{
    private static readonly LinkEncoderOptions Small = new() { FrameBytes = 48, Description = new StreamDescription { Device = "bench 7" } };

    // Scan k of a stream holds k and k + 1, modulo 4,096.
    private static ushort[] Scans(int first, int count) =>
        [.. Enumerable.Range(first, count).SelectMany(k => new[] { (ushort)(k & 0xFFF), (ushort)((k + 1) & 0xFFF) })];

    private static (HeardScans Heard, LinkDecoder Decoder) Decode(IEnumerable<byte> bytes, int cut = 0, LinkDecoderOptions? options = null)
    {
        var heard = new HeardScans();
        var decoder = new LinkDecoder(heard, options);
        byte[] all = [.. bytes];
        int step = cut == 0 ? Math.Max(1, all.Length) : cut;
        for (int at = 0; at < all.Length; at += step) decoder.Take(all.AsSpan(at, Math.Min(step, all.Length - at)));
        decoder.Complete();
        return (heard, decoder);
    }

    // Frames of ten scans each, numbered from 0, the first of them a description.
    private static List<byte[]> Frames(int count, LinkEncoderOptions? options = null)
    {
        var encoder = new LinkEncoder((options ?? Small) with { FrameBytes = 64 });
        var wire = new ByteList();
        encoder.WriteDescription(wire);
        for (int i = 0; i < count - 1; i++) encoder.WriteScans(Scans(10 * i, 10), wire);
        List<byte[]> frames = wire.Frames();
        Assert.Equal(count, frames.Count);
        return frames;
    }

    [Fact]
    public void Take_EveryKind_ArrivesInOrder()
    {
        var encoder = new LinkEncoder(Small with { FirstPosition = 1_000 });
        var wire = new ByteList();

        LinkEncoder.WriteDelimiter(wire);
        encoder.WriteDescription(wire);
        encoder.WriteScans([1, 2, 3, 4], wire);
        encoder.WriteWord(1_001, 77, wire);
        encoder.WriteOverrun(500, wire);
        encoder.WriteScans([5, 6], wire);
        encoder.WriteText("warm \u001b[31m", wire);
        encoder.WriteEnd(wire);
        (HeardScans heard, LinkDecoder decoder) = Decode(wire.ToArray());

        Assert.Equal("1,2 | 3,4 | mark 1 77 | gap 500 Overrun | 5,6 | say warm \u001b[31m", heard.ToString());
        Assert.Equal("bench 7", Assert.Single(heard.Descriptions).Device);
        Assert.Equal(3UL, decoder.SentByDevice);
        Assert.Equal((3, 500, 0), (decoder.ScansDelivered, decoder.ScansLost, decoder.Breaks));
        Assert.Equal(7, decoder.CountOf(LinkVerdict.Accepted));
        Assert.Equal(2, decoder.FramesOf(LinkFrameKind.Scans12));
    }

    [Fact]
    public void Take_Description_SaysAllThatWasGiven()
    {
        var description = new StreamDescription
        {
            Device = "ein Gerät",
            ScansPerHalf = 2_048,
            Scan = new ScanFormat { Bits = 14, ScanRateHz = 84_000_000.0 / 252, Roles = [ChannelRole.Vertical, ChannelRole.Ramp, ChannelRole.Blanking, ChannelRole.Auxiliary] },
            Volts = [new CodeVolts(-5.5m, 5.5m), null, new CodeVolts(0, -0.000_001m), new CodeVolts(-2_147.483_647m, 2_147.483_647m)],
        };
        var wire = new ByteList();

        new LinkEncoder(new LinkEncoderOptions { Description = description }).WriteDescription(wire);
        StreamDescription heard = Assert.Single(Decode(wire.ToArray()).Heard.Descriptions);

        Assert.Equal(description.Scan.Roles, heard.Scan.Roles);
        Assert.Equal((14, 84_000_000.0 / 252, 2_048, "ein Gerät"), (heard.Scan.Bits, heard.Scan.ScanRateHz!.Value, heard.ScansPerHalf!.Value, heard.Device));
        Assert.Equal(description.Volts, heard.Volts);
    }

    [Theory]
    [InlineData(1.0)]
    [InlineData(0.001)]
    [InlineData(1e-12)]
    [InlineData(1_234_567.89)]
    [InlineData(4e9)]
    [InlineData(3.3333333333)]
    public void Description_AnyRate_IsNearTheOneGiven(double rate)
    {
        var wire = new ByteList();

        new LinkEncoder(new LinkEncoderOptions { Description = new StreamDescription { Scan = new ScanFormat { ScanRateHz = rate } } }).WriteDescription(wire);
        double heard = Assert.Single(Decode(wire.ToArray()).Heard.Descriptions).Scan.ScanRateHz!.Value;

        // 32 bits each way: a part in a thousand million, and nothing below 1 / 2^32.
        Assert.InRange(heard, Math.Max(rate, 1.0 / uint.MaxValue) * (1 - 1e-9), Math.Max(rate, 1.0 / uint.MaxValue) * (1 + 1e-9));
    }

    [Fact]
    public void Take_DescriptionAgain_IsToldOnce()
    {
        var encoder = new LinkEncoder(Small);
        var wire = new ByteList();
        for (int i = 0; i < 3; i++) encoder.WriteDescription(wire);

        Assert.Single(Decode(wire.ToArray()).Heard.Descriptions);
    }

    [Fact]
    public void Take_AnyCutting_GivesTheSame() =>
        Gen.Select(Gen.Int[1, 100], Gen.Int[0, 2], Gen.Int[0, 200]).Sample((cut, damage, at) =>
        {
            List<byte> bytes = [.. Frames(6).SelectMany(f => f)];
            if (damage == 1) bytes[at % bytes.Count] ^= 0x10;
            if (damage == 2) bytes.RemoveAt(at % bytes.Count);
            (HeardScans whole, LinkDecoder one) = Decode(bytes);
            (HeardScans cutUp, LinkDecoder many) = Decode(bytes, cut);

            return whole.ToString() == cutUp.ToString() && one.BytesDiscarded == many.BytesDiscarded
                && Enum.GetValues<LinkVerdict>().All(v => one.CountOf(v) == many.CountOf(v));
        });

    [Fact]
    public void Take_JoinedLate_BeginsWithTheFirstWholeFrameWithoutALoss()
    {
        byte[] bytes = [.. Frames(4).SelectMany(f => f)];
        int first = Frames(4)[0].Length;

        (HeardScans heard, LinkDecoder decoder) = Decode(bytes[(first + 5)..]);

        Assert.Equal("10,11", heard.All[0]);
        Assert.Equal((20, 0, 1), (decoder.ScansDelivered, decoder.ScansLost, decoder.CountOf(LinkVerdict.Joined)));
        Assert.Equal([ChannelRole.Ramp, ChannelRole.Vertical], heard.Descriptions[0].Scan.Roles);
    }

    [Fact]
    public void Take_JoinedLate_UsesTheAssumedDescription()
    {
        var assumed = new StreamDescription { Device = "as set up", Scan = new ScanFormat { Roles = [ChannelRole.Vertical, ChannelRole.Ramp], Bits = 10 } };
        byte[] bytes = [.. Frames(4).Skip(1).SelectMany(f => f)];

        (HeardScans heard, _) = Decode(bytes, options: new LinkDecoderOptions { Assumed = assumed });

        StreamDescription used = Assert.Single(heard.Descriptions);
        Assert.Equal(("as set up", ChannelRole.Vertical, 12), (used.Device, used.Scan.Roles[0], used.Scan.Bits));
    }

    [Fact]
    public void Take_UnknownKind_IsSkippedAndCountedAndItsHeaderStillCounts()
    {
        byte[] first = Raw(new LinkHeader(LinkFrameKind.Scans16, 1, 5, 100), [2, 12, .. Masked(1, 0, 2, 0)]);
        byte[] unknown = Raw(new LinkHeader((LinkFrameKind)200, 1, 6, 101), [1, 2, 3]);
        byte[] next = Raw(new LinkHeader(LinkFrameKind.Scans16, 1, 7, 101), [2, 12, .. Masked(3, 0, 4, 0)]);

        (HeardScans heard, LinkDecoder decoder) = Decode([.. first, .. unknown, .. next]);

        Assert.Equal("1,2 | 3,4", heard.ToString());
        Assert.Equal(1, decoder.CountOf(LinkVerdict.UnknownKind));
    }

    [Fact]
    public void Take_UnknownMajor_ThrowsAfterEverythingBeforeIt()
    {
        var heard = new HeardScans();
        var decoder = new LinkDecoder(heard);
        byte[] scans = Raw(new LinkHeader(LinkFrameKind.Scans16, 1, 5, 100), [2, 12, .. Masked(1, 0, 2, 0)]);
        byte[] other = Raw(new LinkHeader(LinkFrameKind.Text, 1, 6, 101) { Version = 0x23 }, [1]);

        LinkVersionException thrown = Assert.Throws<LinkVersionException>(() => decoder.Take([.. scans, .. other]));

        Assert.Equal("1,2", heard.ToString());
        Assert.Equal("The device speaks link protocol 2.3; this decoder knows 1.x. Update this program, or give the device firmware that speaks version 1.", thrown.Message);
        Assert.Equal(1, Decode([.. scans, .. other], options: new LinkDecoderOptions { StopAtUnknownMajor = false }).Decoder.CountOf(LinkVerdict.UnknownMajor));
    }

    [Fact]
    public void Take_LaterMinor_ReadsWhatItKnows()
    {
        byte[] frame = Raw(new LinkHeader(LinkFrameKind.End, 1, 5, 100) { Version = 0x15 }, [7, 0, 0, 0, 0, 0, 0, 0, 99]);

        Assert.Equal(7UL, Decode(frame).Decoder.SentByDevice);
    }

    // Checks are sound in all of these: the sender is wrong, not the line.
    [Theory]
    [InlineData(LinkFrameKind.Scans16, "02 0C", LinkVerdict.Length)]
    [InlineData(LinkFrameKind.Scans16, "02 0C 01 00", LinkVerdict.Length)]
    [InlineData(LinkFrameKind.Scans16, "02 0C 01 00 02", LinkVerdict.Length)]
    [InlineData(LinkFrameKind.Scans16, "01 0C 01 00", LinkVerdict.Contents)]
    [InlineData(LinkFrameKind.Scans16, "09 0C 01 00", LinkVerdict.Contents)]
    [InlineData(LinkFrameKind.Scans16, "02 11 01 00 02 00", LinkVerdict.Contents)]
    [InlineData(LinkFrameKind.Scans12, "02 0D 01 00 02", LinkVerdict.Contents)]
    [InlineData(LinkFrameKind.Scans12, "02 0C 01 00", LinkVerdict.Length)]
    [InlineData(LinkFrameKind.Scans12, "02 0C 01 00 02 00", LinkVerdict.Length)]
    [InlineData(LinkFrameKind.Description, "02 0C", LinkVerdict.Length)]
    [InlineData(LinkFrameKind.Description, "02 0C 00 00 00 00 00 00 00 00 00 00 00 00 01 00 00 00 00 00 00 00 00 01 00 00 00 00 00 00 00 00 00", LinkVerdict.Contents)]
    [InlineData(LinkFrameKind.Word, "00 00 00 00 00 00 00 00 00", LinkVerdict.Length)]
    [InlineData(LinkFrameKind.Word, "66 00 00 00 00 00 00 00 00 00", LinkVerdict.Contents)]
    [InlineData(LinkFrameKind.Overrun, "00 00 00 00 00 00 00 00 00", LinkVerdict.Contents)]
    [InlineData(LinkFrameKind.Overrun, "00 00 00 00 00 00 00 80 00", LinkVerdict.Contents)]
    [InlineData(LinkFrameKind.End, "00", LinkVerdict.Length)]
    public void Take_PayloadThatCannotBe_IsRefusedWithoutEffect(LinkFrameKind kind, string payload, LinkVerdict expected)
    {
        byte[] first = Raw(new LinkHeader(LinkFrameKind.Scans16, 1, 5, 100), [2, 12, .. Masked(1, 0, 2, 0)]);
        byte[] wrong = Raw(new LinkHeader(kind, 1, 6, 101), Convert.FromHexString(payload.Replace(" ", "", StringComparison.Ordinal)));
        byte[] next = Raw(new LinkHeader(LinkFrameKind.Scans16, 1, 7, 101), [2, 12, .. Masked(3, 0, 4, 0)]);

        (HeardScans heard, LinkDecoder decoder) = Decode([.. first, .. wrong, .. next]);

        Assert.Equal("1,2 | 3,4", heard.ToString());
        Assert.Equal(1, decoder.CountOf(expected));
    }

    [Fact]
    public void Take_PieceLongerThanAnyFrame_IsSkipped()
    {
        List<byte[]> frames = Frames(4);
        byte[] endless = [.. Enumerable.Repeat<byte>(0x55, 100_000)];

        (HeardScans heard, LinkDecoder decoder) = Decode([.. frames[0], .. frames[1], .. endless, 0, .. frames[2], .. frames[3]], cut: 997);

        Assert.Equal(30, heard.Scans);
        Assert.Equal(1, decoder.CountOf(LinkVerdict.TooLong));
        Assert.Equal(100_001, decoder.BytesDiscarded);
    }

    [Fact]
    public void Take_LargestFrame_IsAccepted()
    {
        byte[] payload = new byte[LinkFrame.MostPayloadBytes];
        payload.AsSpan().Fill(65);

        Assert.Equal("say " + new string('A', payload.Length), Decode(Raw(new LinkHeader(LinkFrameKind.Text, 1, 0, 0), payload)).Heard.ToString());
        Assert.Throws<ArgumentException>(() => Raw(new LinkHeader(LinkFrameKind.Text, 1, 0, 0), [.. payload, 65]));
    }

    [Fact]
    public void Interrupt_InsideAFrame_DropsItAndCountsWhatIsMissing()
    {
        List<byte[]> frames = Frames(6);
        var heard = new HeardScans();
        var decoder = new LinkDecoder(heard);

        decoder.Take([.. frames[0], .. frames[1], .. frames[2][..9]]);
        decoder.Interrupt(GapCause.Unknown);
        decoder.Take([.. frames[3][7..], .. frames[4], .. frames[5]]);
        decoder.Complete();

        Assert.Equal("gap 20 Unknown", heard.All[10]);
        Assert.Equal((1, 1), (decoder.CountOf(LinkVerdict.CutOff), decoder.CountOf(LinkVerdict.Joined)));
    }

    [Fact]
    public void Observer_EveryPiece_IsSeenWithItsPlace()
    {
        List<byte[]> frames = Frames(4);
        frames[2][20] ^= 0x40;
        var seen = new SeenFrames();

        (_, LinkDecoder decoder) = Decode([.. frames[0], 0, .. frames[1], .. frames[2], .. frames[3], 1, 2], cut: 50, options: new LinkDecoderOptions { Observer = seen });

        Assert.Equal(
            [
                "0 Description #0 Accepted",
                $"{frames[0].Length + 1} Scans12 #1 Accepted",
                $"{frames[0].Length + 1 + frames[1].Length} ? Crc",
                $"{frames[0].Length + 1 + (2 * frames[1].Length)} Scans12 #3 Accepted lost 10",
                $"{frames[0].Length + 1 + (3 * frames[1].Length)} ? CutOff",
            ],
            seen.Lines);
        Assert.All(seen.Encoded, bytes => Assert.DoesNotContain((byte)0, bytes));
        Assert.Equal(decoder.BytesTaken, seen.Encoded.Sum(bytes => bytes.Length) + 5);
    }

    private static byte[] Raw(LinkHeader header, byte[] payload)
    {
        byte[] wire = new byte[LinkFrame.MostWireBytes(payload.Length)];
        return wire[..LinkFrame.Write(header, payload, wire)];
    }

    private static byte[] Masked(params byte[] bytes) => [.. bytes.Select(b => (byte)(b ^ 0xA5))];

    private sealed class SeenFrames : ILinkObserver
    {
        public List<string> Lines { get; } = [];

        public List<byte[]> Encoded { get; } = [];

        public void Saw(in LinkFrameReport report, ReadOnlySpan<byte> encoded)
        {
            string head = report.Header is { } header ? $"{header.Kind} #{header.Sequence}" : "?";
            Lines.Add($"{report.Offset} {head} {report.Verdict}" + (report.LostBefore > 0 ? $" lost {report.LostBefore}" : ""));
            Encoded.Add(encoded.ToArray());
        }
    }
}
