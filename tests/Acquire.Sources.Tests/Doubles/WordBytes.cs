using System.Runtime.InteropServices;
using Acquire.Capture;
using Acquire.Link;

namespace Acquire.Sources.Tests.Doubles;

/// <summary>The simplest way to send scans as bytes: bare words of 16 bits.</summary>
internal static class WordBytes
{
    public static readonly StreamDescription Description = new() { Scan = new ScanFormat { Bits = 16 } };

    public static Func<IScanReceiver, IByteDecoder> Decoder { get; } =
        receiver => new RawWordsDecoder(receiver, new RawWordsOptions { Description = Description });

    public static byte[] Of(ReadOnlySpan<ushort> scans) => MemoryMarshal.AsBytes(scans).ToArray();
}
