using Acquire.Capture;

namespace Acquire.Link;

/// <summary>Decides by their numbers what lines mean: the next scan, a gap, a new beginning, or a damaged number.</summary>
internal sealed class LineNumbers(ScanOutlet outlet, int channelCount, int numberBits)
{
    // A line whose number does not follow waits for the next one:
    //
    //   next line is the expected one, or no nearer to the waiting one than to what was expected --> the waiting one is refused
    //   next line is nearer to the waiting one --> the number jumped: forward a gap, back a break
    //
    // A new beginning must be borne out by the very next number, a gap by any later one, since losses come in rows.
    // At first nothing is expected, and a line that was cut in its number must not count; losses in between may have been a few.
    private const ulong MostAtFirst = 8;
    private readonly ulong _mask = (1UL << numberBits) - 1;
    private readonly ushort[] _waiting = new ushort[channelCount];
    private ulong _waitingNumber;
    private ulong _expected;
    private bool _isWaiting;
    private bool _began;

    public bool Fits(ulong number) => number <= _mask;

    /// <summary>Takes a line.</summary>
    /// <returns>Lines refused by it: 0 or 1.</returns>
    public int Take(ulong number, ReadOnlySpan<ushort> codes)
    {
        int refused = 0;
        if (_isWaiting)
        {
            if (IsBorneOut(number)) AcceptWaiting();
            else refused = 1;
            _isWaiting = false;
        }

        if (_began && number == _expected)
        {
            Deliver(codes);
            return refused;
        }

        codes.CopyTo(_waiting);
        _waitingNumber = number;
        _isWaiting = true;
        return refused;
    }

    public void Complete()
    {
        if (_isWaiting && !_began) AcceptWaiting();
        _isWaiting = false;
    }

    private bool IsBorneOut(ulong number)
    {
        ulong fromWaiting = (number - _waitingNumber) & _mask;
        if (!_began) return fromWaiting is >= 1 and <= MostAtFirst;
        ulong fromExpected = (number - _expected) & _mask;
        if (fromExpected == 0 || fromWaiting == 0 || fromWaiting >= fromExpected) return false;
        return IsAhead(_waitingNumber) || fromWaiting == 1;
    }

    private bool IsAhead(ulong number) => ((number - _expected) & _mask) <= _mask / 2;

    private void AcceptWaiting()
    {
        if (_began)
        {
            if (IsAhead(_waitingNumber)) outlet.Skip((long)((_waitingNumber - _expected) & _mask), GapCause.Link);
            else outlet.Break(GapCause.Reset, 0);
        }

        _began = true;
        _expected = _waitingNumber;
        Deliver(_waiting);
    }

    private void Deliver(ReadOnlySpan<ushort> codes)
    {
        codes.CopyTo(outlet.Next(codes.Length));
        outlet.Add(codes.Length);
        _expected = (_expected + 1) & _mask;
    }
}
