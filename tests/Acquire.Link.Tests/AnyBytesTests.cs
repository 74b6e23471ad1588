using Acquire.Capture;
using Acquire.Link.Tests.Doubles;
using CsCheck;

namespace Acquire.Link.Tests;

/// <summary>Whatever the bytes are, no decoder throws, and every byte is accounted for.</summary>
public class AnyBytesTests
{
    private static readonly Gen<byte[]> Noise = Gen.Select(Gen.Byte.Array[0, 3_000], Gen.Int[1, 256], Gen.Int[0, 255])
        .Select((bytes, values, first) => bytes.Select(b => (byte)((b % values) + first)).ToArray());

    [Fact]
    public void Link_AnyBytes_NothingIsBelieved() =>
        Noise.Sample(bytes =>
        {
            var heard = new HeardScans();
            var decoder = new LinkDecoder(heard, new LinkDecoderOptions { Observer = new Sum() });
            decoder.Take(bytes);
            decoder.Complete();

            return heard.All.Count == 0 && decoder.BytesDiscarded == bytes.Length && decoder.BytesTaken == bytes.Length;
        }, iter: 2_000);

    [Fact]
    public void TextLinesAndRawWords_AnyBytes_NeverThrow() =>
        Gen.Select(Noise, Gen.Bool, Gen.Int[1, 14]).Sample((bytes, numbered, bits) =>
        {
            StreamDescription description = new() { Scan = new ScanFormat { Bits = bits } };
            var words = new RawWordsDecoder(new HeardScans(), new RawWordsOptions { ChannelInHighBits = numbered, Description = description });
            var lines = new TextLinesDecoder(new HeardScans(), new TextLinesOptions { Numbered = numbered, Description = description });
            foreach (IByteDecoder decoder in new IByteDecoder[] { words, lines })
            {
                decoder.Take(bytes);
                decoder.Interrupt(GapCause.Link);
                decoder.Take(bytes);
                decoder.Complete();
            }

            return words.BytesDiscarded + (4 * words.ScansDelivered) == 2 * bytes.Length && lines.BytesDiscarded <= 2 * bytes.Length;
        }, iter: 1_000);

    private sealed class Sum : ILinkObserver
    {
        public void Saw(in LinkFrameReport report, ReadOnlySpan<byte> encoded) => Assert.True(report.Offset >= 0 && encoded.Length <= report.EncodedBytes);
    }
}
