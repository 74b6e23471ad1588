using Acquire.Capture;

namespace Acquire.Link;

/// <summary>Between a decoder and its receiver: collects scans into longer runs, counts, and keeps losses in their places.</summary>
/// <remarks>A loss before the first scan is none: nobody knows what was sent before one listened.</remarks>
internal sealed class ScanOutlet(IScanReceiver receiver, int channelCount)
{
    private const int Room = 4_096;
    private readonly ushort[] _scans = new ushort[Room * channelCount];
    private int _words;
    private GapCause _cause;
    private long _atLeast;
    private bool _broken;

    public long Delivered { get; private set; }

    public long Lost { get; private set; }

    public long Breaks { get; private set; }

    /// <summary>Scans handed on and lost so far, those that still wait here included.</summary>
    public long Position { get; private set; }

    /// <summary>Room for the words of the next scan; filled in full, then added.</summary>
    public Span<ushort> Next()
    {
        if (_broken) SendBreak();
        return _scans.AsSpan(_words, channelCount);
    }

    public void Add()
    {
        _words += channelCount;
        Position++;
        if (_words == _scans.Length) Flush();
    }

    public void Add(ReadOnlySpan<ushort> scans)
    {
        if (_broken) SendBreak();
        Flush();
        Position += scans.Length / channelCount;
        Delivered += scans.Length / channelCount;
        if (!scans.IsEmpty) receiver.Take(scans);
    }

    public void Skip(long lostScans, GapCause cause)
    {
        if (_broken) SendBreak();
        Flush();
        Lost += lostScans;
        Position += lostScans;
        receiver.Skip(lostScans, cause);
    }

    /// <summary>Notes a break, told before the next scan; two in a row are one.</summary>
    public void Break(GapCause cause, long atLeast)
    {
        if (Position == 0) return;
        if (!_broken) _cause = cause;
        _broken = true;
        _atLeast += atLeast;
    }

    public void Say(string text)
    {
        Flush();
        receiver.Say(text);
    }

    public void Flush()
    {
        if (_words == 0) return;
        Delivered += _words / channelCount;
        int words = _words;
        _words = 0;
        receiver.Take(_scans.AsSpan(0, words));
    }

    private void SendBreak()
    {
        Flush();
        _broken = false;
        Breaks++;
        Lost += _atLeast;
        receiver.Break(_cause, _atLeast);
        _atLeast = 0;
    }
}
