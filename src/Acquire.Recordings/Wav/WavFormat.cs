using System.Buffers.Binary;
using Acquire.Recordings.Words;

namespace Acquire.Recordings.Wav;

/// <summary>The fmt chunk: what the words of a WAV file are.</summary>
/// <param name="Word">One word.</param>
/// <param name="Channels">Words per scan.</param>
/// <param name="ScanRateHz">Scans per second.</param>
internal readonly record struct WavFormat(WordFormat Word, int Channels, uint ScanRateHz)
{
    public const int PlainBytes = 16;
    public const int ExtensibleBytes = 40;

    public const int UsedBitsBytes = 4;

    public const ushort TagIntegers = 1;
    public const ushort TagFloats = 3;
    public const ushort TagExtensible = 0xFFFE;

    /// <summary>A chunk that <see cref="WavWriter"/> puts before the data: how many bits of its 16-bit words are used, from the highest on.</summary>
    public static ReadOnlySpan<byte> UsedBitsId => "acqr"u8;

    /// <summary>The rest of the format's GUID after the tag, as it lies in the file.</summary>
    public static ReadOnlySpan<byte> GuidTail => [0, 0, 0, 0, 0x10, 0, 0x80, 0, 0, 0xAA, 0, 0x38, 0x9B, 0x71];

    /// <summary>Reads a chunk.</summary>
    /// <param name="chunk">Its content, 16 bytes or more.</param>
    /// <param name="file">Name of the file, for messages.</param>
    /// <exception cref="RecordingException">The words are of a kind that is not read here, or the fields contradict one another.</exception>
    public static WavFormat Parse(ReadOnlySpan<byte> chunk, string file)
    {
        ushort tag = BinaryPrimitives.ReadUInt16LittleEndian(chunk);
        int channels = BinaryPrimitives.ReadUInt16LittleEndian(chunk[2..]);
        uint rate = BinaryPrimitives.ReadUInt32LittleEndian(chunk[4..]);
        int scanBytes = BinaryPrimitives.ReadUInt16LittleEndian(chunk[12..]);
        int bits = BinaryPrimitives.ReadUInt16LittleEndian(chunk[14..]);
        if (channels == 0)
            throw Wrong(RecordingFailure.ChannelsWrong, file, "it has 0 channels; a recording has one at least");
        if (rate == 0)
            throw Wrong(RecordingFailure.RateWrong, file, "its rate is 0; it must be positive");
        if (scanBytes % channels != 0 || scanBytes == 0)
            throw Wrong(RecordingFailure.FieldWrong, file, $"{channels} channels do not share {scanBytes} bytes a scan evenly");
        int bytes = scanBytes / channels, validBits = bits;
        if (tag == TagExtensible)
        {
            if (chunk.Length < ExtensibleBytes)
                throw Wrong(RecordingFailure.FieldWrong, file, $"its extensible format has {chunk.Length} bytes instead of {ExtensibleBytes}");
            tag = BinaryPrimitives.ReadUInt16LittleEndian(chunk[24..]);
            if (!chunk[26..ExtensibleBytes].SequenceEqual(GuidTail)) tag = 0;

            // 0 is written by some for "all of them".
            int valid = BinaryPrimitives.ReadUInt16LittleEndian(chunk[18..]);
            if (valid != 0) validBits = valid;
        }

        if (validBits < 1 || validBits > 8 * bytes || bits > 8 * bytes)
            throw Wrong(RecordingFailure.FieldWrong, file, $"words of {bytes} bytes do not hold {Math.Max(bits, validBits)} bits");
        WordFormat? word = (tag, bytes) switch
        {
            (TagIntegers, 1) => new WordFormat(WordKind.Unsigned, 1, BigEndian: false, 8 - validBits),
            (TagIntegers, 2) => new WordFormat(WordKind.Signed, 2, BigEndian: false, 16 - validBits),
            (TagIntegers, 3 or 4) => new WordFormat(WordKind.Signed, bytes, BigEndian: false, (8 * bytes) - validBits),
            (TagFloats, 4 or 8) => new WordFormat(WordKind.Float, bytes, BigEndian: false),
            _ => null,
        };
        return word is { } known
            ? new WavFormat(known, channels, rate)
            : throw Wrong(RecordingFailure.UnknownWords, file,
                $"words of kind {tag} with {bytes} bytes are not read here; export it uncompressed with 8, 16, 24 or 32 bits or as floating point");
    }

    /// <summary>Whether the highest bits of a word are its code although a code is not as wide: integers of more than 16 bits, whose full scale the format states.</summary>
    public bool HasFullScale => Word is { Kind: WordKind.Signed, Bytes: 3 or 4 };

    /// <summary>The format with fewer bits used, where its words can have them.</summary>
    /// <param name="bits">Bits used, from the highest on.</param>
    public WavFormat WithUsedBits(int bits) =>
        Word is { Kind: WordKind.Signed, Bytes: 2 } && bits is >= 1 and < 16 ? this with { Word = new WordFormat(WordKind.Signed, 2, BigEndian: false, 16 - bits) } : this;

    private static RecordingException Wrong(RecordingFailure failure, string file, string reason) =>
        new(failure, $"{VisibleText.Whole(file)}: {reason}.");
}
