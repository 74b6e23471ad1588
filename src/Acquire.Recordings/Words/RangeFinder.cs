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
        for (int scan = 0; scan < raw.Length; scan += _scanBytes)
        {
            for (int c = 0; c < _channels.Length; c++)
            {
                ReadOnlySpan<byte> word = raw.Slice(scan + (_channels[c] * TWord.Bytes), TWord.Bytes);
                double value = TWord.Read(ref MemoryMarshal.GetReference(word));
                if (!double.IsFinite(value)) SawNotANumber = true;
                else
                {
                    if (value < _low[c]) _low[c] = value;
                    if (value > _high[c]) _high[c] = value;
                }
            }
        }
    }
}
