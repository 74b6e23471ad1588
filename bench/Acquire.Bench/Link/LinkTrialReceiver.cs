using Acquire.Capture;
using Acquire.Link;

namespace Acquire.Bench.Link;

/// <summary>Knows what every scan must hold, and what of the frames that are used was really sent.</summary>
/// <remarks>It is to be fed piece by piece, so that the scans of one frame have come before the next frame is seen.</remarks>
internal sealed class LinkTrialReceiver : IScanReceiver, ILinkObserver
{
    private readonly Dictionary<(int Start, uint Sequence), (byte[] Wire, long Scans)> _sent = [];
    private readonly List<string> _violations = [];
    private readonly List<(long Offset, int Start, uint Sequence)> _intact = [];
    private LinkHeader _used;
    private bool _began;
    private bool _mayBreak;
    private int _intactChecked;
    private int _start;                // how often the device had begun anew when it sent what is used now
    private ulong _position;
    private ulong _firstPosition;
    private ulong _end;

    public IReadOnlyList<string> Violations => _violations;

    public long FramesUsed { get; private set; }

    public long DamagedUsed { get; private set; }

    public long Delivered { get; private set; }

    public long InGaps { get; private set; }

    public long Breaks { get; private set; }

    public long Copies { get; private set; }

    /// <summary>What channel c of a scan holds: as good as random, with many zero bytes.</summary>
    public static ushort CodeOf(int start, ulong position, int channel)
    {
        ulong x = (position + ((ulong)start << 40)) * 0x9E3779B97F4A7C15 + (ulong)channel;
        x ^= x >> 29;
        x *= 0xBF58476D1CE4E5B9;
        return (ushort)((x >> 40 & 0xFFF) >> (int)(x >> 60));
    }

    /// <summary>Notes a frame before it goes on its way.</summary>
    /// <param name="start">How often the device had begun anew.</param>
    /// <param name="sequence">Its number.</param>
    /// <param name="wire">Its bytes, delimiter included.</param>
    /// <param name="scans">Scans that it accounts for.</param>
    public void Sent(int start, uint sequence, byte[] wire, long scans)
    {
        _sent[(start, sequence)] = (wire, scans);
        _sent.Remove((start, sequence - 4_096));
        if (sequence > 0 || start < 2) return;
        foreach ((int Start, uint Sequence) key in _sent.Keys.Where(k => k.Start < start - 1).ToArray()) _sent.Remove(key);
    }

    /// <summary>Notes that a copy of a frame stands in the stream untouched, between two delimiters.</summary>
    public void Intact(long offset, int start, uint sequence) => _intact.Add((offset, start, sequence));

    public void Saw(in LinkFrameReport report, ReadOnlySpan<byte> encoded)
    {
        bool used = report.Verdict is LinkVerdict.Accepted or LinkVerdict.UnknownKind;
        while (_intactChecked < _intact.Count && _intact[_intactChecked].Offset < report.Offset)
            Violate($"The intact frame at {_intact[_intactChecked++].Offset} was not seen.");
        if (_intactChecked < _intact.Count && _intact[_intactChecked].Offset == report.Offset)
        {
            (long offset, int start, uint sequence) = _intact[_intactChecked++];
            Copies++;
            bool passed = _began && (start < _start || (start == _start && sequence <= _used.Sequence));
            if (!used && !(passed && report.Verdict is LinkVerdict.Duplicate or LinkVerdict.Late))
                Violate($"The intact frame {sequence} at {offset} was judged {report.Verdict}.");
        }

        if (!used) return;
        FramesUsed++;
        LinkHeader header = report.Header!.Value;
        int from = _start;
        while (!IsFrom(from, header.Sequence, encoded) && from < _start + 1_000) from++;
        if (!IsFrom(from, header.Sequence, encoded))
        {
            DamagedUsed++;
            Violate($"The frame {header.Sequence} at {report.Offset} was used, but never sent.");
            return;
        }

        if (report.Break != (_began && from != _start)) Violate($"Break {report.Break} in front of frame {header.Sequence} at {report.Offset}; beginnings {_start}, {from}.");
        if (from != _start || !_began) BeginAt(from, header.Position);
        _used = header;
        _end = header.Position + (ulong)_sent[(_start, header.Sequence)].Scans;
    }

    public void Describe(StreamDescription description)
    {
        if (description.Scan.ChannelCount != 2) Violate($"{description.Scan.ChannelCount} channels.");
    }

    public void Take(ReadOnlySpan<ushort> scans)
    {
        for (int i = 0; i < scans.Length; i += 2, _position++)
        {
            if (scans[i] == CodeOf(_start, _position, 0) && scans[i + 1] == CodeOf(_start, _position, 1)) continue;
            Violate($"Scan {_position} of beginning {_start} is wrong.");
            break;
        }

        Delivered += scans.Length / 2;
    }

    public void Skip(long lostScans, GapCause cause)
    {
        InGaps += lostScans;
        _position += (ulong)lostScans;
    }

    public void Break(GapCause cause, long atLeast)
    {
        Breaks++;
        if (!_mayBreak) Violate("A break where nothing began anew.");
        _mayBreak = false;
    }

    public void Mark(long position, ushort word)
    {
        if (word != (ushort)(CodeOf(_start, _position, 2) + 1)) Violate($"The word at {_position} is wrong.");
    }

    public void Say(string text)
    {
        if (text != "trial") Violate($"The text is wrong: {text.Length} characters.");
    }

    /// <summary>Scans between the first frame used and the end of the last one, over all beginnings.</summary>
    public long ScansBetween { get; private set; }

    /// <summary>Checks the account when everything was decoded.</summary>
    public void Close(LinkDecoder decoder)
    {
        foreach ((long offset, _, uint sequence) in _intact.Skip(_intactChecked)) Violate($"The intact frame {sequence} at {offset} was not seen.");
        EndOfBeginning();
        if (ScansBetween != Delivered + InGaps) Violate($"{Delivered} scans delivered and {InGaps} in gaps are not the {ScansBetween} between the first and the last frame used.");
        if (decoder.ScansDelivered != Delivered || decoder.ScansLost != InGaps || decoder.Breaks != Breaks) Violate("The decoder's counts are not what it told.");
    }

    /// <summary>Forgets copies that were checked.</summary>
    public void Forget()
    {
        if (_intactChecked < 4_096) return;
        _intact.RemoveRange(0, _intactChecked);
        _intactChecked = 0;
    }

    private void BeginAt(int start, ulong position)
    {
        EndOfBeginning();
        _mayBreak = _began;
        _began = true;
        _start = start;
        _firstPosition = position;
        _position = position;
    }

    private void EndOfBeginning()
    {
        if (_began) ScansBetween += (long)(_end - _firstPosition);
    }

    private bool IsFrom(int start, uint sequence, ReadOnlySpan<byte> encoded) =>
        _sent.TryGetValue((start, sequence), out (byte[] Wire, long Scans) sent) && encoded.SequenceEqual(sent.Wire.AsSpan(0, sent.Wire.Length - 1));

    private void Violate(string what)
    {
        if (_violations.Count < 10) _violations.Add(what);
    }
}
