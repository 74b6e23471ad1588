using Acquire.Capture;

namespace Acquire.Link;

/// <summary>Between a decoder and its receiver: collects scans into longer runs, counts, and keeps losses in their places.</summary>
/// <remarks>A break before the first scan is none: nobody knows what was sent before one listened.</remarks>
internal sealed class ScanOutlet(IScanReceiver receiver, int channelCount)
{
    /// <summary>Most words that <see cref="Next"/> gives: more than any frame holds, less than a first-level cache.</summary>
    public const int MostWords = 8_192;

    private readonly ushort[] _scans = new ushort[MostWords];
    private int _channelCount = channelCount;
    private int _words;
    private GapCause _cause;
    private long _atLeast;
    private bool _broken;

    public long Delivered { get; private set; }

    public long Lost { get; private set; }

    public long Breaks { get; private set; }

    /// <summary>Scans handed on and lost so far, those that still wait here included.</summary>
    public long Position { get; private set; }

    public void Describe(StreamDescription description)
    {
        Flush();
        _channelCount = description.Scan.ChannelCount;
        receiver.Describe(description);
    }

    /// <summary>Room for words; filled in full, then <see cref="Add"/>.</summary>
    /// <param name="words">Words of whole scans, at most <see cref="MostWords"/>.</param>
    public Span<ushort> Next(int words)
    {
        if (_broken) SendBreak();
        if (_words + words > _scans.Length) Flush();
        return _scans.AsSpan(_words, words);
    }

    public void Add(int words)
    {
        _words += words;
        Position += words / _channelCount;
    }

    public void Skip(long lostScans, GapCause cause)
    {
        Settle();
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

    public void Mark(long position, ushort word)
    {
        Settle();
        receiver.Mark(position, word);
    }

    public void Say(string text)
    {
        Flush();
        receiver.Say(text);
    }

    public void Flush()
    {
        if (_words == 0) return;
        Delivered += _words / _channelCount;
        int words = _words;
        _words = 0;
        receiver.Take(_scans.AsSpan(0, words));
    }

    /// <summary>Tells what is known so far, a break at the very end included.</summary>
    public void Settle()
    {
        if (_broken) SendBreak();
        Flush();
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
