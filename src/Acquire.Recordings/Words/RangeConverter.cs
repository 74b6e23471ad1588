using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;
using Acquire.Scales;

namespace Acquire.Recordings.Words;

/// <summary>Maps words that are wider than a code, or fractions, onto codes: per channel, a straight line, rounded to nearest.</summary>
/// <typeparam name="TWord">The words of the file, already in this machine's byte order.</typeparam>
internal sealed class RangeConverter<TWord> : IWordConverter
    where TWord : struct, IWord
{
    private readonly int _scanBytes;
    private readonly int[] _channels;
    private readonly double[] _low;
    private readonly double[] _codesPerUnit;
    private readonly int _fullCode;
    private readonly ushort _codeOfNotANumber;

    /// <summary>Builds a converter.</summary>
    /// <param name="fileChannels">Channels in the file.</param>
    /// <param name="channels">Channels wanted.</param>
    /// <param name="ranges">Word values at code 0 and at the full code, one per channel wanted.</param>
    /// <param name="bits">Bits of a code.</param>
    public RangeConverter(int fileChannels, int[] channels, IReadOnlyList<CodeVolts> ranges, int bits)
    {
        _scanBytes = fileChannels * TWord.Bytes;
        _channels = channels;
        _fullCode = (1 << bits) - 1;
        _codeOfNotANumber = bits < 16 ? ushort.MaxValue : (ushort)0;
        _low = new double[channels.Length];
        _codesPerUnit = new double[channels.Length];
        for (int c = 0; c < channels.Length; c++)
        {
            _low[c] = (double)ranges[c].AtCodeZero;
            _codesPerUnit[c] = _fullCode / ((double)ranges[c].AtFullCode - _low[c]);
        }
    }

    public long NotANumber { get; private set; }

    public long Clipped { get; private set; }

    public void ResetCounts()
    {
        NotANumber = 0;
        Clipped = 0;
    }

    public void Convert(Span<byte> raw, Span<ushort> codes)
    {
        // Channel by channel: its line stays in registers, and both places advance by a fixed step.
        int scans = raw.Length / _scanBytes;
        ArgumentOutOfRangeException.ThrowIfLessThan(codes.Length, scans * _channels.Length);
        for (int c = 0; c < _channels.Length; c++)
        {
            double low = _low[c], codesPerUnit = _codesPerUnit[c], fullCode = _fullCode;
            ref byte word = ref Unsafe.Add(ref MemoryMarshal.GetReference(raw), _channels[c] * TWord.Bytes);
            for (int at = c; at < scans * _channels.Length; at += _channels.Length)
            {
                double code = Math.Round((TWord.Read(ref word) - low) * codesPerUnit);

                // Also false where the word is no number.
                codes[at] = code >= 0 && code <= fullCode ? (ushort)code : CodeOutside(TWord.Read(ref word), code);
                word = ref Unsafe.Add(ref word, _scanBytes);
            }
        }
    }

    private ushort CodeOutside(double value, double code)
    {
        if (!double.IsFinite(value))
        {
            NotANumber++;
            return _codeOfNotANumber;
        }

        Clipped++;
        return code < 0 ? (ushort)0 : (ushort)_fullCode;
    }
}
