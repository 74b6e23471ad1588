using Acquire.Capture;
using Acquire.Link.Tests.Doubles;
using CsCheck;

namespace Acquire.Link.Tests;

public class RawWordsDecoderTests
{
    private const int Seen = 32;                       // words of evidence at one spare bit a word

    private static RawWordsOptions Options(int bits, bool numbered, int channels = 2) => new()
    {
        ChannelInHighBits = numbered,
        Description = new StreamDescription
        {
            Scan = new ScanFormat
            {
                Bits = bits,
                Roles = [ChannelRole.Ramp, .. Enumerable.Repeat(ChannelRole.Vertical, channels - 1)],
            },
        },
    };

    // Scan k holds k, k+1, ... in its channels, within the bits.
    private static byte[] Bytes(int scans, RawWordsOptions options, int first = 0)
    {
        int channels = options.Description.Scan.ChannelCount;
        byte[] bytes = new byte[scans * channels * 2];
        for (int i = 0; i < scans * channels; i++)
        {
            int code = (first + (i / channels) + (i % channels)) & options.Description.Scan.FullCode;
            int word = code | (options.ChannelInHighBits ? i % channels << options.Description.Scan.Bits : 0);
            bytes[2 * i] = (byte)word;
            bytes[(2 * i) + 1] = (byte)(word >> 8);
        }

        return bytes;
    }

    private static HeardScans Decode(RawWordsOptions options, byte[] bytes, int cut = int.MaxValue)
    {
        var heard = new HeardScans();
        var decoder = new RawWordsDecoder(heard, options);
        for (int at = 0; at < bytes.Length; at += cut)
        {
            decoder.Take(bytes.AsSpan(at, Math.Min(cut, bytes.Length - at)));
            if (cut == int.MaxValue) break;
        }

        decoder.Complete();
        Assert.Equal(bytes.Length, decoder.BytesTaken);
        Assert.Equal(bytes.Length, decoder.BytesDiscarded + (decoder.ScansDelivered * 2 * options.Description.Scan.ChannelCount));
        return heard;
    }

    [Fact]
    public void Take_WordsOfSixteenBits_AreScans()
    {
        HeardScans heard = Decode(Options(16, numbered: false), [0x01, 0x00, 0xFF, 0xFF, 0x34, 0x12, 0x00, 0x80, 0x07]);

        Assert.Equal("1,65535 | 4660,32768", heard.ToString());
    }

    [Fact]
    public void Take_ChannelInHighBits_IsTakenOff()
    {
        HeardScans heard = Decode(Options(12, numbered: true), [0xFF, 0x0F, 0x01, 0x10]);

        Assert.Equal("4095,1", heard.ToString());
    }

    [Fact]
    public void Take_AnyCutting_GivesTheSame() =>
        Gen.Select(Gen.Int[1, 16], Gen.Bool, Gen.Int[2, 4], Gen.Int[0, 300], Gen.Int[1, 40]).Sample((bits, numbered, channels, scans, cut) =>
        {
            RawWordsOptions options = Options(Math.Min(bits, numbered ? 14 : 16), numbered, channels);
            byte[] bytes = Bytes(scans, options, first: 17);

            return Decode(options, bytes, cut).ToString() == Decode(options, bytes).ToString() && Decode(options, bytes).Scans == scans;
        });

    [Theory]
    [InlineData(1)]
    [InlineData(2)]
    [InlineData(3)]
    [InlineData(5)]
    public void Take_BytesLostWithChannelNumbers_BreaksOnceAndInventsNothing(int lost)
    {
        RawWordsOptions options = Options(12, numbered: true);
        byte[] sent = Bytes(3_000, options);
        byte[] bytes = [.. sent[..4_001], .. sent[(4_001 + lost)..]];

        HeardScans heard = Decode(options, bytes);

        Assert.Single(heard.All, line => line.StartsWith("break", StringComparison.Ordinal));
        Assert.Contains("break Link at least 1", heard.All);
        string[] scans = [.. heard.All.Where(line => !line.StartsWith("break", StringComparison.Ordinal))];
        Assert.All(scans, scan => Assert.Equal(int.Parse(scan.Split(',')[0]) + 1, int.Parse(scan.Split(',')[1])));
        Assert.InRange(heard.Scans, 3_000 - 9, 3_000 - 1);
    }

    [Fact]
    public void Take_JoinedInsideAScan_BeginsAtTheNextOneWithoutABreak()
    {
        RawWordsOptions options = Options(15, numbered: true);
        byte[] sent = Bytes(100, options);

        HeardScans heard = Decode(options, sent[3..]);

        Assert.Equal("1,2", heard.All[0]);
        Assert.Equal(99, heard.Scans);
    }

    [Fact]
    public void Take_ByteLostWithoutChannelNumbers_FindsTheWordsAgain()
    {
        RawWordsOptions options = Options(12, numbered: false);
        byte[] sent = Bytes(3_000, options, first: 1_000);
        byte[] bytes = [.. sent[..4_001], .. sent[4_002..]];

        HeardScans heard = Decode(options, bytes);

        Assert.Single(heard.All, line => line.StartsWith("break Link", StringComparison.Ordinal));
        Assert.Equal("3999,4000", heard.All[^1]);
    }

    [Theory]
    [InlineData(false)]
    [InlineData(true)]
    public void Complete_NothingFoundAgain_IsABreak(bool numbered)
    {
        byte[] noise = new byte[500];
        noise.AsSpan().Fill(0xFF);

        HeardScans heard = Decode(Options(12, numbered), [.. Bytes(50, Options(12, numbered)), .. noise]);

        Assert.EndsWith(" | break Link at least 1", heard.ToString(), StringComparison.Ordinal);
    }

    [Fact]
    public void Take_WithoutEnoughEvidenceYet_HandsOnNothing()
    {
        RawWordsOptions options = Options(15, numbered: true);
        var heard = new HeardScans();
        var decoder = new RawWordsDecoder(heard, options);

        decoder.Take(Bytes(Seen / 2, options));
        Assert.Equal(0, heard.Scans);
        decoder.Take(Bytes(1, options, Seen / 2));

        Assert.Equal("0,1", heard.ToString());
    }

    [Fact]
    public void Interrupt_InsideAScan_IsABreakAndTheNextByteStartsAScan()
    {
        var heard = new HeardScans();
        var decoder = new RawWordsDecoder(heard, Options(16, numbered: false));

        decoder.Take([1, 0, 2, 0, 3, 0, 4]);
        decoder.Interrupt(GapCause.Unknown);
        decoder.Interrupt(GapCause.Link);
        decoder.Take([5, 0, 6, 0]);
        decoder.Complete();

        Assert.Equal("1,2 | break Unknown at least 0 | 5,6", heard.ToString());
        Assert.Equal(3, decoder.BytesDiscarded);
        Assert.Equal(1, decoder.Breaks);
    }

    [Fact]
    public void Constructor_NoRoomForTheChannel_SaysSo()
    {
        ArgumentException thrown = Assert.Throws<ArgumentException>(() => new RawWordsDecoder(new HeardScans(), Options(16, numbered: true)));

        Assert.Contains("Bits is 16", thrown.Message, StringComparison.Ordinal);
    }
}
