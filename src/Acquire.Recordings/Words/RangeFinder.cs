using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;
using Acquire.Scales;

namespace Acquire.Recordings.Words;

/// <summary>Finds the lowest and highest finite word of each channel in a pass over the file.</summary>
/// <typeparam name="TWord">The words of the file, already in this machine's byte order.</typeparam>
internal sealed class RangeFinder<TWord> : IRangeFinder
    where TWord : struct, IWord
{
    private readonly int _scanBytes;
    private readonly int[] _channels;
    private readonly double[] _low;
    private readonly double[] _high;

    /// <summary>Builds a finder that has seen nothing.</summary>
    /// <param name="fileChannels">Channels in the file.</param>
    /// <param name="channels">Channels wanted.</param>
    public RangeFinder(int fileChannels, int[] channels)
    {
        _scanBytes = fileChannels * TWord.Bytes;
        _channels = channels;
        _low = new double[channels.Length];
        _high = new double[channels.Length];
        Array.Fill(_low, double.PositiveInfinity);
        Array.Fill(_high, double.NegativeInfinity);
    }

    public bool SawNotANumber { get; private set; }

    public double LowOf(int channel) => _low[channel];

    public double HighOf(int channel) => _high[channel];

    public void Look(ReadOnlySpan<byte> raw)
    {
        int scans = raw.Length / _scanBytes;
        for (int c = 0; c < _channels.Length; c++)
        {
            double low = _low[c], high = _high[c];
            ref byte word = ref Unsafe.Add(ref MemoryMarshal.GetReference(raw), _channels[c] * TWord.Bytes);
            for (int scan = 0; scan < scans; scan++)
            {
                double value = TWord.Read(ref word);

                // Not 0 where the word is no number or infinite.
                if (value - value == 0)
                {
                    if (value < low) low = value;
                    if (value > high) high = value;
                }
                else
                {
                    SawNotANumber = true;
                }

                word = ref Unsafe.Add(ref word, _scanBytes);
            }

            (_low[c], _high[c]) = (low, high);
        }
    }
}
