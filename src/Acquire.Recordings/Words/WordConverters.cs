using System.Buffers.Binary;
using System.Runtime.InteropServices;
using Acquire.Scales;

namespace Acquire.Recordings.Words;

/// <summary>Chooses the code for a kind of word.</summary>
internal static class WordConverters
{
    /// <summary>A finder for words that have to be mapped.</summary>
    public static IRangeFinder Finder(WordFormat word, int fileChannels, int[] channels) => (word.Kind, word.Bytes) switch
    {
        (WordKind.Unsigned, 4) => new RangeFinder<Unsigned32>(fileChannels, channels),
        (WordKind.Signed, 4) => new RangeFinder<Signed32>(fileChannels, channels),
        (WordKind.Signed, 3) => new RangeFinder<Signed24>(fileChannels, channels),
        (WordKind.Float, 4) => new RangeFinder<Float32>(fileChannels, channels),
        (WordKind.Float, 8) => new RangeFinder<Float64>(fileChannels, channels),
        _ => throw new ArgumentException($"{word.Name} is not mapped onto codes."),
    };

    /// <summary>A converter for words that have to be mapped.</summary>
    public static IWordConverter Mapped(
        WordFormat word, int fileChannels, int[] channels, IReadOnlyList<CodeVolts> ranges, int bits) => (word.Kind, word.Bytes) switch
        {
            (WordKind.Unsigned, 4) => new RangeConverter<Unsigned32>(fileChannels, channels, ranges, bits),
            (WordKind.Signed, 4) => new RangeConverter<Signed32>(fileChannels, channels, ranges, bits),
            (WordKind.Signed, 3) => new RangeConverter<Signed24>(fileChannels, channels, ranges, bits),
            (WordKind.Float, 4) => new RangeConverter<Float32>(fileChannels, channels, ranges, bits),
            (WordKind.Float, 8) => new RangeConverter<Float64>(fileChannels, channels, ranges, bits),
            _ => throw new ArgumentException($"{word.Name} is not mapped onto codes."),
        };

    /// <summary>Turns the bytes of wide words round where the file has them the other way.</summary>
    public static void ToNativeOrder(WordFormat word, Span<byte> raw)
    {
        if (!word.IsForeignOrder) return;
        switch (word.Bytes)
        {
            case 4:
                Span<uint> words = MemoryMarshal.Cast<byte, uint>(raw);
                BinaryPrimitives.ReverseEndianness(words, words);
                break;
            case 8:
                Span<ulong> longs = MemoryMarshal.Cast<byte, ulong>(raw);
                BinaryPrimitives.ReverseEndianness(longs, longs);
                break;
        }
    }
}
