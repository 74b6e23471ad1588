namespace Acquire.Capture;

/// <summary>The last scans as they came, all channels, addressed by their index.</summary>
internal sealed class ScanHistory
{
    private readonly ushort[] _words;
    private readonly int _channels;
    private readonly long _mask;

    /// <param name="channels">Words of a scan.</param>
    /// <param name="capacity">Scans kept, a power of two.</param>
    public ScanHistory(int channels, int capacity)
    {
        _channels = channels;
        _words = new ushort[(long)channels * capacity];
        _mask = capacity - 1;
    }

    /// <summary>Scans taken so far.</summary>
    public long End { get; private set; }

    /// <summary>Scans that it can hold.</summary>
    public long Capacity => _mask + 1;

    /// <summary>Oldest scan that can still be read.</summary>
    public long Oldest => Math.Max(0, End - _mask - 1);

    /// <summary>Takes one scan.</summary>
    public void Add(ReadOnlySpan<ushort> scan)
    {
        scan.CopyTo(_words.AsSpan((int)(End & _mask) * _channels, _channels));
        End++;
    }

    /// <summary>Takes whole scans.</summary>
    public void AddAll(ReadOnlySpan<ushort> scans)
    {
        int capacity = (int)_mask + 1;
        End += scans.Length / _channels;
        if (scans.Length > _words.Length) scans = scans[^_words.Length..];
        int at = (int)((End - (scans.Length / _channels)) & _mask), first = Math.Min(scans.Length, (capacity - at) * _channels);
        scans[..first].CopyTo(_words.AsSpan(at * _channels));
        if (first < scans.Length) scans[first..].CopyTo(_words);
    }

    /// <summary>Scans are about to come: their memory is asked for.</summary>
    /// <param name="ahead">Scans that come before them.</param>
    /// <param name="scans">How many.</param>
    public void Expect(int ahead, int scans) => Lanes.Fetch(ref _words[(int)((End + ahead) & _mask) * _channels], 0, scans * _channels);

    /// <summary>Interleaved words of scans that lie side by side.</summary>
    /// <param name="scan">The first.</param>
    /// <param name="scans">How many.</param>
    /// <returns>The words; empty where the scans lie around the end of the memory.</returns>
    public ReadOnlySpan<ushort> Words(long scan, int scans)
    {
        int at = (int)(scan & _mask);
        return at + scans > _mask + 1 ? default : _words.AsSpan(at * _channels, scans * _channels);
    }

    /// <summary>Word of one channel of one scan.</summary>
    public ushort this[long scan, int channel] => _words[((int)(scan & _mask) * _channels) + channel];
}
