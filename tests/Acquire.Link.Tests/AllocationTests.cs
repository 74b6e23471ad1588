using System.Text;
using Acquire.Capture;

namespace Acquire.Link.Tests;

[CollectionDefinition("Alone", DisableParallelization = true)]
public sealed class Alone;

[Collection("Alone")]
public class AllocationTests
{
    private sealed class Nobody : IScanReceiver
    {
        public long Scans { get; private set; }

        public void Describe(StreamDescription description)
        {
        }

        public void Take(ReadOnlySpan<ushort> scans) => Scans += scans.Length;

        public void Skip(long lostScans, GapCause cause) => Scans += lostScans;

        public void Break(GapCause cause, long atLeast) => Scans += atLeast;

        public void Mark(long position, ushort word) => Scans += word;

        public void Say(string text) => Scans += text.Length;
    }

    private static void AssertNone(IByteDecoder decoder, byte[] bytes)
    {
        for (int i = 0; i < 100; i++) decoder.Take(bytes);
        long before = GC.GetAllocatedBytesForCurrentThread();
        for (int i = 0; i < 1_000; i++) decoder.Take(bytes);
        Assert.Equal(0, GC.GetAllocatedBytesForCurrentThread() - before);
        Assert.True(decoder.ScansDelivered >= 1_000);
    }

    [Fact]
    public void RawWords_DamageIncluded_AllocateNothing() =>
        AssertNone(new RawWordsDecoder(new Nobody(), new RawWordsOptions()), [.. Enumerable.Repeat<byte>(1, 1_001), 0xFF]);

    [Theory]
    [InlineData(false, "1,2\n3,4\nx\n")]
    [InlineData(true, "7,1,2\n8,3,4\n10,5,6\n11,5,6\n")]
    public void TextLines_DamageIncluded_AllocateNothing(bool numbered, string text) =>
        AssertNone(new TextLinesDecoder(new Nobody(), new TextLinesOptions { Numbered = numbered }), Encoding.UTF8.GetBytes(text));

    [Theory]
    [InlineData(true)]
    [InlineData(false)]
    public void Link_DamageIncluded_AllocatesNothing(bool packed)
    {
        var wire = new Doubles.ByteList();
        var encoder = new LinkEncoder(new LinkEncoderOptions { Packed = packed, FrameBytes = 128 });
        encoder.WriteDescription(wire);
        encoder.WriteScans([.. Enumerable.Range(0, 8_000).Select(i => (ushort)(i & 0xFFF))], wire);
        encoder.WriteWord(7, 7, wire);
        encoder.WriteOverrun(3, wire);
        byte[] bytes = wire.ToArray();
        bytes[5_000] ^= 1;

        // The same bytes again and again: the device begins anew each time.
        var decoder = new LinkDecoder(new Nobody());
        AssertNone(decoder, bytes);
        Assert.Equal(1_099, decoder.Resets);
    }

    [Fact]
    public void Encoder_AllKinds_AllocatesNothing()
    {
        var encoder = new LinkEncoder(new LinkEncoderOptions());
        var output = new System.Buffers.ArrayBufferWriter<byte>(1 << 16);
        ushort[] scans = [.. Enumerable.Range(0, 8_000).Select(i => (ushort)(i & 0xFFF))];
        void Write()
        {
            output.ResetWrittenCount();
            encoder.WriteDescription(output);
            encoder.WriteScans(scans, output);
            encoder.WriteWord(7, 7, output);
            encoder.WriteOverrun(3, output);
            encoder.WriteText("hello", output);
            encoder.WriteEnd(output);
        }

        for (int i = 0; i < 100; i++) Write();
        long before = GC.GetAllocatedBytesForCurrentThread();
        for (int i = 0; i < 1_000; i++) Write();

        Assert.Equal(0, GC.GetAllocatedBytesForCurrentThread() - before);
    }
}
