namespace Acquire.Recordings.Words;

/// <summary>One word of a dataset.</summary>
/// <param name="Kind">Unsigned, signed or floating point.</param>
/// <param name="Bytes">1, 2, 3, 4 or 8.</param>
/// <param name="BigEndian">High byte first; of no meaning for one byte.</param>
/// <param name="UnusedLowBits">Bits at the low end that carry nothing, where a narrow code is stored left-aligned.</param>
internal readonly record struct WordFormat(WordKind Kind, int Bytes, bool BigEndian, int UnusedLowBits = 0)
{
    /// <summary>Whether words are codes already (16 bits at most) rather than values that have to be mapped.</summary>
    public bool IsCode => Kind != WordKind.Float && Bytes <= 2;

    /// <summary>Bits that carry something.</summary>
    public int UsedBits => (8 * Bytes) - UnusedLowBits;

    /// <summary>Whether the bytes of a word have to be turned round on this machine.</summary>
    public bool IsForeignOrder => Bytes > 1 && BigEndian == BitConverter.IsLittleEndian;

    /// <summary>Name in the manner of the recording format: ru16_le, rf32_be, ri8.</summary>
    public string Name
    {
        get
        {
            char kind = Kind switch { WordKind.Unsigned => 'u', WordKind.Signed => 'i', _ => 'f' };
            string order = Bytes == 1 ? "" : BigEndian ? "_be" : "_le";
            return $"r{kind}{8 * Bytes}{order}";
        }
    }
}
