using System.Buffers.Binary;
using System.Numerics;
using System.Runtime.InteropServices;

namespace Acquire.Recordings.Words;

/// <summary>Turns words of 16 bits at most into codes: selects channels and offsets signed words.</summary>
internal sealed class CodeConverter : IWordConverter
{
    private readonly WordFormat _word;
    private readonly int _fileChannels;
    private readonly int[]? _selected;
    private readonly ushort _offset;

    /// <summary>Builds a converter.</summary>
    /// <param name="word">Words of the file, codes.</param>
    /// <param name="fileChannels">Channels in the file.</param>
    /// <param name="selected">Channels wanted, or null: all, in the file's order.</param>
    /// <param name="bits">Bits of a code.</param>
    public CodeConverter(WordFormat word, int fileChannels, int[]? selected, int bits)
    {
        _word = word;
        _fileChannels = fileChannels;
        _selected = selected;

        // Modulo 2^16 a signed word outside its bits lands above the full code, whichever way it left them:
        // -2049 with 12 bits becomes 65535, +2048 becomes 4096.
        _offset = word.Kind == WordKind.Signed ? (ushort)(1 << (bits - 1)) : (ushort)0;
    }

    /// <summary>Whether bytes of the file can be read straight into the caller's codes and corrected there.</summary>
    public bool IsInPlace => _word.Bytes == 2 && _selected is null;

    public long NotANumber => 0;

    public long Clipped => 0;

    public void ResetCounts()
    {
    }

    /// <summary>Corrects codes that were read straight from the file.</summary>
    public void ConvertInPlace(Span<ushort> codes)
    {
        if (_word.IsForeignOrder) BinaryPrimitives.ReverseEndianness(codes, codes);
        Adjust(codes);
    }

    public void Convert(Span<byte> raw, Span<ushort> codes)
    {
        if (_word.Bytes == 1)
        {
            Widen(raw, codes);
            Adjust(codes);
            return;
        }

        Span<ushort> words = MemoryMarshal.Cast<byte, ushort>(raw);
        if (_selected is null) words.CopyTo(codes);
        else Select(words, codes, _selected);
        ConvertInPlace(codes);
    }

    private void Select(ReadOnlySpan<ushort> words, Span<ushort> codes, int[] selected)
    {
        int at = 0;
        for (int scan = 0; scan < words.Length; scan += _fileChannels)
            foreach (int channel in selected)
                codes[at++] = words[scan + channel];
    }

    private void Widen(ReadOnlySpan<byte> raw, Span<ushort> codes)
    {
        bool signed = _word.Kind == WordKind.Signed;
        if (_selected is null)
        {
            int done = signed ? WidenSigned(MemoryMarshal.Cast<byte, sbyte>(raw), codes) : WidenUnsigned(raw, codes);
            for (int i = done; i < raw.Length; i++) codes[i] = signed ? (ushort)(sbyte)raw[i] : raw[i];
            return;
        }

        int at = 0;
        for (int scan = 0; scan < raw.Length; scan += _fileChannels)
            foreach (int channel in _selected)
                codes[at++] = signed ? (ushort)(sbyte)raw[scan + channel] : raw[scan + channel];
    }

    private static int WidenUnsigned(ReadOnlySpan<byte> raw, Span<ushort> codes)
    {
        int i = 0;
        for (; i <= raw.Length - Vector<byte>.Count; i += Vector<byte>.Count)
        {
            Vector.Widen(new Vector<byte>(raw[i..]), out Vector<ushort> low, out Vector<ushort> high);
            low.CopyTo(codes[i..]);
            high.CopyTo(codes[(i + Vector<ushort>.Count)..]);
        }

        return i;
    }

    private static int WidenSigned(ReadOnlySpan<sbyte> raw, Span<ushort> codes)
    {
        int i = 0;
        for (; i <= raw.Length - Vector<sbyte>.Count; i += Vector<sbyte>.Count)
        {
            Vector.Widen(new Vector<sbyte>(raw[i..]), out Vector<short> low, out Vector<short> high);
            Vector.AsVectorUInt16(low).CopyTo(codes[i..]);
            Vector.AsVectorUInt16(high).CopyTo(codes[(i + Vector<short>.Count)..]);
        }

        return i;
    }

    private void Adjust(Span<ushort> codes)
    {
        if (_word.UnusedLowBits > 0) ShiftDown(codes);
        if (_offset == 0) return;
        Span<Vector<ushort>> vectors = MemoryMarshal.Cast<ushort, Vector<ushort>>(codes);
        var offset = new Vector<ushort>(_offset);
        for (int i = 0; i < vectors.Length; i++) vectors[i] += offset;
        for (int i = vectors.Length * Vector<ushort>.Count; i < codes.Length; i++) codes[i] += _offset;
    }

    private void ShiftDown(Span<ushort> codes)
    {
        int shift = _word.UnusedLowBits;
        if (_word.Kind == WordKind.Signed)
            for (int i = 0; i < codes.Length; i++) codes[i] = (ushort)((short)codes[i] >> shift);
        else
            for (int i = 0; i < codes.Length; i++) codes[i] >>= shift;
    }
}
