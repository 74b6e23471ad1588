using System.Buffers.Binary;
using Acquire.Capture;

namespace Acquire.Link;

/// <summary>Decodes bare interleaved words: 16 bits each, low byte first, one for each channel, scan after scan.</summary>
/// <remarks>
/// Bare words carry no check and no count, so what can be noticed are the bits above the code: zero, or the channel's index. A scan is handed on
/// once the words behind it hold 32 bits of that evidence too; where they do not, everything up to the next place with as much evidence is discarded
/// and a break stands there. With channel numbers that place is the start of a scan. Without, it is the start of a word, and which channel it is
/// can only be guessed: as if the fewest bytes were lost. Without spare bits nothing is ever noticed.
/// </remarks>
public sealed class RawWordsDecoder : IByteDecoder
{
    // Locked: a scan starts at _start, and every word of [_start, _checked) is what it should be.
    // Searching: _start is the next place to be tried.
    //
    //   Locked --word is not what it should be--> Searching --evidence in a row--> Locked
    //
    // I1  Nothing is handed on in Searching.
    // I2  Locked, not completed: what was handed on has _evidenceBytes of good words behind it.
    private const int EvidenceBits = 32;
    private const int Room = 1 << 16;

    private readonly byte[] _bytes = new byte[Room];
    private readonly ScanOutlet _outlet;
    private readonly int _scanBytes;
    private readonly int _evidenceBytes;
    private readonly int _codeBits;
    private readonly bool _numbered;
    private int _start;
    private int _checked;
    private int _end;
    private int _grid;
    private bool _searching;
    private bool _torn;
    private bool _completed;

    /// <summary>Builds a decoder and tells the receiver what its options say the scans are.</summary>
    /// <param name="receiver">Takes what is decoded.</param>
    /// <param name="options">How the words are laid out.</param>
    /// <exception cref="ArgumentException">The options do not fit together.</exception>
    public RawWordsDecoder(IScanReceiver receiver, RawWordsOptions options)
    {
        ArgumentNullException.ThrowIfNull(receiver);
        ArgumentNullException.ThrowIfNull(options);
        options.Validate();

        ScanFormat format = options.Description.Scan;
        _scanBytes = 2 * format.ChannelCount;
        _codeBits = format.Bits;
        _numbered = options.ChannelInHighBits;
        int spare = 16 - format.Bits;
        _evidenceBytes = spare == 0 ? 0 : 2 * ((EvidenceBits + spare - 1) / spare);
        _outlet = new ScanOutlet(receiver, format.ChannelCount);
        receiver.Describe(options.Description);
    }

    /// <inheritdoc/>
    public long BytesTaken { get; private set; }

    /// <inheritdoc/>
    public long BytesDiscarded { get; private set; }

    /// <inheritdoc/>
    public long ScansDelivered => _outlet.Delivered;

    /// <inheritdoc/>
    public long ScansLost => _outlet.Lost;

    /// <inheritdoc/>
    public long Breaks => _outlet.Breaks;

    /// <inheritdoc/>
    public void Take(ReadOnlySpan<byte> bytes)
    {
        BytesTaken += bytes.Length;
        while (!bytes.IsEmpty)
        {
            int count = Math.Min(bytes.Length, _bytes.Length - _end);
            bytes[..count].CopyTo(_bytes.AsSpan(_end));
            _end += count;
            bytes = bytes[count..];
            Work();
            Compact();
        }

        _outlet.Flush();
    }

    /// <inheritdoc/>
    public void Interrupt(GapCause cause)
    {
        Finish();
        _outlet.Break(cause, 0);
    }

    /// <inheritdoc/>
    public void Complete()
    {
        if (_completed) return;
        _completed = true;
        Finish();
        _outlet.Settle();
    }

    private void Finish()
    {
        if (!_searching)
        {
            int whole = (_checked - _start) / _scanBytes * _scanBytes;
            HandOn(_start + whole);
        }
        else
        {
            // Nothing was found again behind the damage: what came there is lost all the same.
            _outlet.Break(GapCause.Link, _torn ? 1 : 0);
        }

        BytesDiscarded += _end - _start;
        _start = _checked = _end = _grid = 0;
        _searching = _torn = false;
        _outlet.Flush();
    }

    private void Work()
    {
        while (true)
        {
            if (_searching && !Search()) return;
            bool good = Check();
            int confirmed = _checked - _start - _evidenceBytes;
            if (confirmed >= _scanBytes) HandOn(_start + (confirmed / _scanBytes * _scanBytes));
            if (good) return;

            // Part of a scan lies before the damage, or the damaged word is one: that scan is lost, whatever else is.
            _torn = true;
            _searching = true;
            _grid = _start;
            _start++;
            BytesDiscarded++;
        }
    }

    // True: all words that are there are good.
    private bool Check()
    {
        while (_checked + 2 <= _end)
        {
            if (!IsGood(_checked, (_checked - _start) % _scanBytes)) return false;
            _checked += 2;
        }

        return true;
    }

    private bool Search()
    {
        while (_start + Math.Max(2, _evidenceBytes) <= _end)
        {
            if (MayStartAt(_start) && EvidenceAt(_start))
            {
                _searching = false;
                _checked = _start;
                _outlet.Break(GapCause.Link, _torn ? 1 : 0);
                _torn = false;
                return true;
            }

            _start++;
            BytesDiscarded++;
        }

        return false;
    }

    private bool MayStartAt(int at)
    {
        if (_numbered) return true;
        int shift = (at - _grid) % _scanBytes;
        return shift == 0 || shift == _scanBytes - 1;
    }

    private bool EvidenceAt(int at)
    {
        for (int offset = 0; offset < _evidenceBytes; offset += 2)
            if (!IsGood(at + offset, offset % _scanBytes)) return false;
        return true;
    }

    private bool IsGood(int at, int offsetInScan)
    {
        int word = BinaryPrimitives.ReadUInt16LittleEndian(_bytes.AsSpan(at));
        return word >> _codeBits == (_numbered ? offsetInScan / 2 : 0);
    }

    private void HandOn(int end)
    {
        int mask = (1 << _codeBits) - 1;
        for (; _start < end; _start += _scanBytes)
        {
            Span<ushort> scan = _outlet.Next(_scanBytes / 2);
            for (int c = 0; c < scan.Length; c++)
                scan[c] = (ushort)(BinaryPrimitives.ReadUInt16LittleEndian(_bytes.AsSpan(_start + (2 * c))) & mask);
            _outlet.Add(scan.Length);
        }
    }

    private void Compact()
    {
        int keep = _start;
        if (keep == 0) return;
        Buffer.BlockCopy(_bytes, keep, _bytes, 0, _end - keep);
        _start = 0;
        _checked -= keep;
        _end -= keep;
        _grid = (_grid - keep) % _scanBytes;
        if (_grid > 0) _grid -= _scanBytes;
    }
}
