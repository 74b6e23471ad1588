using System.Buffers;
using Acquire.Capture;
using Acquire.Link;

namespace Acquire.Bench.Link;

/// <summary>Bytes of a link, from memory, and a receiver that looks at one word of each call.</summary>
internal static class LinkBytes
{
    /// <summary>Whole frames, at least so many bytes.</summary>
    public static byte[] Of(LinkPayload payload, int frameBytes, int count)
    {
        bool packed = payload is LinkPayload.Packed or LinkPayload.PackedSmall;
        int bits = packed ? 12 : 16;
        var encoder = new LinkEncoder(new LinkEncoderOptions { FrameBytes = frameBytes, Packed = packed, Description = new StreamDescription { Scan = new ScanFormat { Bits = bits } } });
        var output = new ArrayBufferWriter<byte>(count + 65_536);
        var random = new Random(1);
        ushort[] scans = new ushort[2 * 8 * encoder.ScansPerFrame];
        while (output.WrittenCount < count)
        {
            for (int i = 0; i < scans.Length; i++)
            {
                scans[i] = payload switch
                {
                    LinkPayload.Packed => (ushort)random.Next(4_096),
                    LinkPayload.PackedSmall => (ushort)random.Next(16),
                    LinkPayload.Random => (ushort)random.Next(65_536),
                    LinkPayload.Small => (ushort)random.Next(256),
                    LinkPayload.Mixed => (ushort)random.Next(512),
                    _ => (ushort)(0xA500 + random.Next(256)),
                };
            }

            encoder.WriteScans(scans, output);
        }

        return output.WrittenSpan.ToArray();
    }

    internal sealed class Listener : IScanReceiver
    {
        public long Seen { get; private set; }

        public void Describe(StreamDescription description) => Seen += description.Scan.ChannelCount;

        public void Take(ReadOnlySpan<ushort> scans) => Seen += scans[^1];

        public void Skip(long lostScans, GapCause cause) => throw new InvalidOperationException("Nothing is lost between memory and memory.");

        public void Break(GapCause cause, long atLeast)
        {
        }

        public void Mark(long position, ushort word) => Seen += word;

        public void Say(string text) => Seen += text.Length;
    }
}
