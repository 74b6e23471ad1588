using System.Buffers.Binary;
using System.Text;
using Acquire.Capture;
using Acquire.Link.Tests.Doubles;
using Acquire.Scales;
using CsCheck;

namespace Acquire.Link.Tests.Sender;

/// <summary>The sender in C and the encoder in C# write the same bytes, and the decoder reads both.</summary>
public sealed class SenderTests(SenderProgram program) : IClassFixture<SenderProgram>
{
    private static readonly (uint Clock, uint Divider)[] Rates = [(0, 1), (1_000_000, 1), (1_000_000, 3), (1, 7), (84_000_000, 251), (4_294_967_291, 1)];

    private static readonly string[] Texts = ["", "plain", "zwölf µV", "\u0001\0\u0002"];

    private static readonly int[] Rooms = [400, 512, 1_024, 1_025, 4_096, 8_192];

    private sealed record Call(char Name, int Number, ulong Big, string Text);

    private sealed record Scenario(int Channels, int Bits, bool Packed, int Room, int Rate, ushort Run, int Seed, Call[] Calls);

    private static readonly Gen<Call> AnyCall = Gen.Select(
        Gen.Frequency((3, Gen.Const('S')), (1, Gen.Const('D')), (1, Gen.Const('L')), (1, Gen.Const('C')), (1, Gen.Const('W')), (1, Gen.Const('T')), (1, Gen.Const('E'))),
        Gen.Int[0, 700],
        Gen.Frequency((3, Gen.ULong[0, 5_000]), (1, Gen.ULong[0, 1UL << 40])),
        Gen.Int[0, Texts.Length - 1],
        (name, number, big, text) => new Call(name, number, big, Texts[text]));

    private static readonly Gen<Scenario> AnyScenario = Gen.Select(
        Gen.Select(Gen.Int[2, 8], Gen.Int[1, 16], Gen.Bool, Gen.Int[0, Rooms.Length - 1]),
        Gen.Select(Gen.Int[0, Rates.Length - 1], Gen.UShort, Gen.Int[0, 1_000]),
        AnyCall.Array[0, 12],
        (layout, head, calls) => new Scenario(layout.Item1, layout.Item2, layout.Item3 && layout.Item2 <= 12, Rooms[layout.Item4], head.Item1, head.Item2, head.Item3, calls));

    // One run of the program for all scenarios: what it sends for one begins with a delimiter, as the encoder's does.
    [Theory]
    [InlineData("")]
    [InlineData("ACQLINK_LARGE_TABLE")]
    public void Sender_AnyCalls_WritesWhatTheEncoderWrites(string define) =>
        AnyScenario.Array[150].Sample(scenarios =>
        {
            var calls = new MemoryStream();
            var expected = new ByteList();
            foreach (Scenario scenario in scenarios) Perform(scenario, calls, expected);

            byte[] sent = program.Run(define, calls.ToArray(), "calls");

            return expected.Count > 100_000 && sent.AsSpan().SequenceEqual(expected.ToArray());
        }, iter: 3, threads: 1);

    [Theory]
    [InlineData(48, 12, 2)]
    [InlineData(64, 16, 3)]
    [InlineData(256, 12, 3)]
    [InlineData(8_192, 16, 8)]
    public void Sender_SmallestAndLargestRooms_AreFilledAlike(int room, int codeBits, int channels)
    {
        var scenario = new Scenario(channels, 12, codeBits == 12, room, 0, 5, 7, [new Call('S', 700, 0, ""), new Call('S', 1, 0, ""), new Call('E', 0, 0, "")]);
        var calls = new MemoryStream();
        var expected = new ByteList();
        Perform(scenario, calls, expected);

        byte[] sent = program.Run("", calls.ToArray(), "calls");

        Assert.Equal(expected.ToArray(), sent);
        Assert.All(expected.Frames(), frame => Assert.InRange(frame.Length, 1, room));
    }

    [Theory]
    [InlineData(true, 2)]
    [InlineData(true, 3)]
    [InlineData(false, 2)]
    [InlineData(false, 8)]
    public void EncodersBytes_TakenApartInC_AreSentAgainByteForByte(bool packed, int channels)
    {
        var wire = new ByteList();
        var encoder = new LinkEncoder(new LinkEncoderOptions { Packed = packed, FrameBytes = 512, Run = 77, Description = Describe(channels, 12, 2) });
        LinkEncoder.WriteDelimiter(wire);
        encoder.WriteDescription(wire);
        encoder.WriteScans(Codes(channels * 3_000, 12, 3), wire);
        encoder.WriteWord(2_999, 0xABCD, wire);
        encoder.WriteOverrun(70_000, wire);
        encoder.WriteScans(Codes(channels * 1_000, 12, 4), wire);
        encoder.WriteText("half full", wire);
        encoder.WriteEnd(wire);

        byte[] sent = program.Run("", wire.ToArray(), "again", "512", packed ? "12" : "16");

        Assert.Equal(wire.ToArray(), sent);
    }

    [Fact]
    public void Sender_WholeRun_IsDecodedWithEveryScanInItsPlace()
    {
        var calls = new MemoryStream();
        var unused = new ByteList();
        Perform(new Scenario(2, 12, true, 1_024, 2, 9, 11, [new Call('D', 0, 0, ""), new Call('S', 600, 0, ""), new Call('L', 0, 50, ""), new Call('S', 500, 0, "")]), calls, unused);
        byte[] sent = program.Run("", calls.ToArray(), "calls");

        var heard = new HeardScans();
        var decoder = new LinkDecoder(heard);
        decoder.Take(sent);
        decoder.Complete();

        string[] expected = [.. Lines(Codes(1_200, 12, 11)), "gap 50 Overrun", .. Lines(Codes(1_000, 12, 12))];
        Assert.Equal(expected, heard.All);
        Assert.Equal(1_000_000.0 / 3, Assert.Single(heard.Descriptions).Scan.ScanRateHz);
        Assert.Equal(1, decoder.BytesDiscarded);         // the delimiter in front of all
    }

    [Fact]
    public void Sender_TextLongerThanTheRoom_EndsWithAWholeCharacter()
    {
        var calls = new MemoryStream();
        Perform(new Scenario(2, 12, true, 64, 0, 1, 1, []), calls, new ByteList());
        byte[] text = Encoding.UTF8.GetBytes(new string('µ', 40));
        calls.Write([(byte)'T', (byte)text.Length, 0, .. text]);

        var heard = new HeardScans();
        new LinkDecoder(heard).Take(program.Run("", calls.ToArray(), "calls"));

        // 64 bytes leave 38 for the payload: 19 characters of two bytes.
        Assert.Equal("say " + new string('µ', 19), heard.ToString());
    }

    private static IEnumerable<string> Lines(ushort[] codes) => codes.Chunk(2).Select(scan => $"{scan[0]},{scan[1]}");

    private static ushort[] Codes(int count, int bits, int seed)
    {
        // Many small ones, so that zero bytes and masked zero bytes are common.
        var random = new Random(seed);
        return [.. Enumerable.Range(0, count).Select(_ => (ushort)(random.Next(1 << bits) >> random.Next(bits)))];
    }

    private static StreamDescription Describe(int channels, int bits, int rate) => new()
    {
        Device = "räume 3",
        ScansPerHalf = 2_048,
        Scan = new ScanFormat
        {
            Bits = bits,
            Roles = [ChannelRole.Vertical, ChannelRole.Ramp, .. Enumerable.Repeat(ChannelRole.Auxiliary, channels - 2)],
            ScanRateHz = Rates[rate].Clock == 0 ? null : (double)Rates[rate].Clock / Rates[rate].Divider,
        },
        Volts = [new CodeVolts(-5, 5.000_001m), null],
    };

    private static void Perform(Scenario s, MemoryStream calls, ByteList expected)
    {
        StreamDescription description = Describe(s.Channels, s.Bits, s.Rate);
        var encoder = new LinkEncoder(new LinkEncoderOptions { Description = description, Run = s.Run, Packed = s.Packed, FrameBytes = s.Room });
        LinkEncoder.WriteDelimiter(expected);
        byte[] payload = DescriptionOf(description, s.Rate);
        Write(calls, 'B', (s.Run, 2), (s.Packed ? 12UL : 16, 1), ((ulong)s.Room, 2), ((ulong)payload.Length, 2));
        calls.Write(payload);

        int seed = s.Seed;
        foreach (Call call in s.Calls)
        {
            switch (call.Name)
            {
                case 'D':
                    Write(calls, 'D');
                    encoder.WriteDescription(expected);
                    break;
                case 'S':
                    ushort[] codes = Codes(call.Number * s.Channels, s.Bits, seed++);
                    Write(calls, 'S', ((ulong)call.Number, 2));
                    foreach (ushort code in codes) calls.Write([(byte)code, (byte)(code >> 8)]);
                    encoder.WriteScans(codes, expected);
                    break;
                case 'L':
                    Write(calls, 'L', (call.Big, 8));
                    if (call.Big > 0) encoder.WriteOverrun((long)call.Big, expected);
                    break;
                case 'C':
                    Write(calls, 'C', (call.Big, 8), ((ulong)call.Number, 2));
                    encoder.WriteOverrun((long)call.Big, expected, exact: false);
                    encoder.BeginRun((ushort)call.Number);
                    break;
                case 'W':
                    Write(calls, 'W', (Math.Min(call.Big, encoder.Position), 8), ((ulong)call.Number, 2));
                    encoder.WriteWord(Math.Min(call.Big, encoder.Position), (ushort)call.Number, expected);
                    break;
                case 'T':
                    byte[] text = Encoding.UTF8.GetBytes(call.Text);
                    Write(calls, 'T', ((ulong)text.Length, 2));
                    calls.Write(text);
                    encoder.WriteText(call.Text, expected);
                    break;
                case 'E':
                    Write(calls, 'E');
                    encoder.WriteEnd(expected);
                    break;
            }
        }
    }

    // Written out by hand, not by the encoder that is tested.
    private static byte[] DescriptionOf(StreamDescription d, int rate)
    {
        var bytes = new MemoryStream();
        Write(bytes, (char)d.Scan.ChannelCount, ((ulong)d.Scan.Bits, 1), ((ulong)d.ScansPerHalf!.Value, 4), (Rates[rate].Clock, 4), (Rates[rate].Divider, 4));
        for (int c = 0; c < d.Scan.ChannelCount; c++)
        {
            (int low, int high) = c == 0 ? (-5_000_000, 5_000_001) : (0, 0);
            Write(bytes, (char)(int)d.Scan.Roles[c], ((uint)low, 4), ((uint)high, 4));
        }

        byte[] text = Encoding.UTF8.GetBytes(d.Device);
        bytes.WriteByte((byte)text.Length);
        bytes.Write(text);
        return bytes.ToArray();
    }

    private static void Write(MemoryStream to, char first, params (ulong Value, int Bytes)[] values)
    {
        Span<byte> eight = stackalloc byte[8];
        to.WriteByte((byte)first);
        foreach ((ulong value, int count) in values)
        {
            BinaryPrimitives.WriteUInt64LittleEndian(eight, value);
            to.Write(eight[..count]);
        }
    }
}
