using System.Text;
using Acquire.Capture;

namespace Acquire.Link;

/// <summary>Decodes lines of decimal codes separated by commas, one scan a line, optionally with a line number in front.</summary>
/// <remarks>
/// A line has at most 256 bytes and ends with a line feed; a carriage return before it, blanks around numbers and empty lines are allowed. A line that begins with <c>#</c> is
/// words for people and goes to <see cref="IScanReceiver.Say"/>, of a longer one its first 256 bytes. Every other line that is not one code, within the stated bits, for each channel is refused.
/// Without numbers a refused line is a break. With numbers a loss is a gap of known length; a number that does not follow is believed only if the
/// next line bears it out, so one damaged digit loses one line; numbers that begin anew are a break. The line under way when decoding begins is not used
/// unless it is whole, which a line cut in its first number may seem to be: send numbers where that matters.
/// </remarks>
public sealed class TextLinesDecoder : IByteDecoder
{
    // Eight channels and a line number with blanks around each stay far below.
    private const int LongestLine = 256;

    private readonly byte[] _line = new byte[LongestLine];
    private readonly ScanOutlet _outlet;
    private readonly LineNumbers? _numbers;
    private readonly ushort[] _codes;
    private readonly int _fullCode;
    private int _length;
    private bool _tooLong;
    private bool _refusedBefore;
    private bool _completed;

    /// <summary>Builds a decoder and tells the receiver what its options say the scans are.</summary>
    /// <param name="receiver">Takes what is decoded.</param>
    /// <param name="options">How the lines are laid out.</param>
    /// <exception cref="ArgumentException">The options are not valid.</exception>
    public TextLinesDecoder(IScanReceiver receiver, TextLinesOptions options)
    {
        ArgumentNullException.ThrowIfNull(receiver);
        ArgumentNullException.ThrowIfNull(options);
        options.Validate();

        ScanFormat format = options.Description.Scan;
        _outlet = new ScanOutlet(receiver, format.ChannelCount);
        _codes = new ushort[format.ChannelCount];
        _fullCode = format.FullCode;
        _numbers = options.Numbered ? new LineNumbers(_outlet, format.ChannelCount, options.NumberBits) : null;
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

    /// <summary>Lines that were refused: not one code for each channel, a code beyond the stated bits, or a number that was not borne out.</summary>
    public long LinesRefused { get; private set; }

    /// <inheritdoc/>
    public void Take(ReadOnlySpan<byte> bytes)
    {
        BytesTaken += bytes.Length;
        while (!bytes.IsEmpty)
        {
            int end = bytes.IndexOf((byte)'\n');
            ReadOnlySpan<byte> part = end < 0 ? bytes : bytes[..end];
            bytes = bytes[(end < 0 ? bytes.Length : end + 1)..];
            if (_length == 0 && end >= 0 && !_tooLong && part.Length <= LongestLine)
            {
                TakeLine(part);
                continue;
            }

            Append(part);
            if (end >= 0) EndLine();
        }

        _outlet.Flush();
    }

    /// <inheritdoc/>
    public void Interrupt(GapCause cause)
    {
        BytesDiscarded += _length;
        _length = 0;
        _tooLong = false;
        if (_numbers is null) _outlet.Break(cause, 0);
    }

    /// <inheritdoc/>
    public void Complete()
    {
        if (_completed) return;
        _completed = true;

        // Whether a line without its end is whole cannot be told: 12 may have been on its way to 1234.
        BytesDiscarded += _length;
        _length = 0;
        _numbers?.Complete();

        // No later number will tell how many scans the lines that were refused stood for.
        if (_numbers is not null && _refusedBefore) _outlet.Break(GapCause.Link, 0);
        _outlet.Settle();
    }

    private void Append(ReadOnlySpan<byte> part)
    {
        int kept = Math.Min(part.Length, _line.Length - _length);
        part[..kept].CopyTo(_line.AsSpan(_length));
        _length += kept;
        if (kept == part.Length) return;
        _tooLong = true;
        BytesDiscarded += part.Length - kept;
    }

    private void EndLine()
    {
        int length = _length;
        _length = 0;
        if (!_tooLong)
        {
            TakeLine(_line.AsSpan(0, length));
            return;
        }

        _tooLong = false;

        // Words for people are no scan however long they are, and no sweep is cut for them.
        ReadOnlySpan<byte> start = _line.AsSpan().TrimStart(" \t\r"u8);
        if (!start.IsEmpty && start[0] == (byte)'#')
        {
            // The cut may have gone through a character.
            _outlet.Say(WordsOf(start).TrimEnd('\uFFFD') + " ...");
            return;
        }

        BytesDiscarded += length;
        Refuse(mayBeScan: true);
    }

    private void TakeLine(ReadOnlySpan<byte> line)
    {
        ReadOnlySpan<byte> text = line.Trim(" \t\r"u8);
        if (text.IsEmpty) return;
        if (text[0] == (byte)'#')
        {
            _outlet.Say(WordsOf(text));
            return;
        }

        if (!TryParse(text, out ulong number) || (_numbers is not null && !_numbers.Fits(number)))
        {
            BytesDiscarded += line.Length + 1;
            Refuse(text.Contains((byte)',') && text.ContainsAnyInRange((byte)'0', (byte)'9'));
            return;
        }

        _refusedBefore = false;
        if (_numbers is not null)
        {
            LinesRefused += _numbers.Take(number, _codes);
            return;
        }

        _codes.CopyTo(_outlet.Next(_codes.Length));
        _outlet.Add(_codes.Length);
    }

    private static string WordsOf(ReadOnlySpan<byte> text) => Encoding.UTF8.GetString(text[1..].TrimStart((byte)' '));

    // Damage that tears one line into several still is one scan, so a run of refused lines tells of one at the least.
    private void Refuse(bool mayBeScan)
    {
        LinesRefused++;
        if (_numbers is not null)
        {
            _refusedBefore = true;
            return;
        }

        _outlet.Break(GapCause.Link, mayBeScan && !_refusedBefore ? 1 : 0);
        _refusedBefore |= mayBeScan;
    }

    private bool TryParse(ReadOnlySpan<byte> text, out ulong number)
    {
        number = 0;
        if (_numbers is not null && !TryTakeNumber(ref text, ulong.MaxValue / 2, last: false, out number)) return false;
        for (int c = 0; c < _codes.Length; c++)
        {
            if (!TryTakeNumber(ref text, (ulong)_fullCode, last: c == _codes.Length - 1, out ulong code)) return false;
            _codes[c] = (ushort)code;
        }

        return true;
    }

    private static bool TryTakeNumber(ref ReadOnlySpan<byte> text, ulong highest, bool last, out ulong value)
    {
        value = 0;
        int at = 0;
        while (at < text.Length && IsBlank(text[at])) at++;
        int first = at;
        for (; at < text.Length && text[at] is >= (byte)'0' and <= (byte)'9'; at++)
        {
            value = (value * 10) + (ulong)(text[at] - '0');
            if (value > highest) return false;
        }

        if (at == first) return false;
        while (at < text.Length && IsBlank(text[at])) at++;
        if (last) return at == text.Length;
        if (at == text.Length || text[at] != (byte)',') return false;
        text = text[(at + 1)..];
        return true;
    }

    private static bool IsBlank(byte b) => b is (byte)' ' or (byte)'\t';
}
