using Acquire.Capture;

namespace Acquire.Tests.Doubles;

/// <summary>Hardware that fills a buffer's memory round and round, one scan at a time.</summary>
/// <remarks>Events are raised at once, or kept until they are served: an interrupt that comes late.</remarks>
internal sealed class CircularTransfer(bool eventsAreLate = false) : ICapturePosition
{
    private PingPongBuffer _buffer = null!;
    private long _written;
    private long _eventsDue;

    public long ScansWritten => Volatile.Read(ref _written);

    public long EventsDue => _eventsDue;

    public void Connect(PingPongBuffer buffer) => _buffer = buffer;

    public void Write(int scans)
    {
        int perHalf = _buffer.Options.ScansPerHalf;
        int channels = _buffer.Options.ChannelCount;
        for (int i = 0; i < scans; i++)
        {
            int index = (int)(_written / perHalf & 1);
            int at = (int)(_written % perHalf) * channels;
            Span<ushort> half = _buffer.MemoryOf(index).Span;
            for (int c = 0; c < channels; c++) half[at + c] = CountingScans.WordOf(_written, c);
            Volatile.Write(ref _written, _written + 1);
            if (_written % perHalf != 0) continue;
            _eventsDue++;
            if (!eventsAreLate) ServeEvents();
        }
    }

    public void ServeEvents()
    {
        long first = (_written / _buffer.Options.ScansPerHalf) - _eventsDue;
        for (; _eventsDue > 0; _eventsDue--) _buffer.HalfReady((int)(first++ & 1));
    }

    /// <summary>Several halves went by while nobody served events: hardware remembers the last one only.</summary>
    public void ServeLastEvent()
    {
        if (_eventsDue == 0) return;
        _eventsDue = 0;
        _buffer.HalfReady((int)(((_written / _buffer.Options.ScansPerHalf) - 1) & 1));
    }
}
