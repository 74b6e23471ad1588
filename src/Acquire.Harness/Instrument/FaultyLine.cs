using System.Buffers;

namespace Acquire.Harness.Instrument;

/// <summary>A line that does to frames what it is told to do, and keeps the truth of it. The same seed and frames give the same bytes.</summary>
/// <remarks>A frame is damaged when one of its bytes or one of its two delimiters did not come through as sent.</remarks>
internal sealed class FaultyLine
{
    private const int MostBurstBytes = 64;
    private const int MostGarbageFrames = 4;

    private readonly LineFaultOptions _options;
    private readonly Random _random;
    private readonly IBufferWriter<byte> _output;
    private readonly Strikes _bits, _insertions, _deletions;
    private readonly bool _perfect;
    private byte[] _later = [];
    private SentFrame? _laterFrame;
    private bool _delimiterSpoilt;
    private int _spoiltBy;
    private int _garbageFrames;
    private int _burst;

    /// <summary>Makes a line.</summary>
    /// <param name="options">What it does.</param>
    /// <param name="output">Gets what comes out of it.</param>
    /// <param name="truth">Is told what happened.</param>
    public FaultyLine(LineFaultOptions options, IBufferWriter<byte> output, LineTruth truth)
    {
        _options = options;
        _random = new Random(options.Seed);
        _output = output;
        Truth = truth;
        _perfect = options.None;
        _bits = new Strikes(options.RateOf(LineFault.BitErrors), _random);
        _insertions = new Strikes(options.RateOf(LineFault.Insertions), _random);
        _deletions = new Strikes(options.RateOf(LineFault.Deletions), _random);
    }

    /// <summary>What happened.</summary>
    public LineTruth Truth { get; }

    /// <summary>Sends one frame.</summary>
    /// <param name="frame">What it is.</param>
    /// <param name="bytes">Its bytes with the closing delimiter; copied.</param>
    public void Send(in SentFrame frame, ReadOnlySpan<byte> bytes)
    {
        Truth.Sent(frame);
        if (_perfect)
        {
            Put(bytes);
            return;
        }

        // A frame that waits for its successor goes after it.
        (byte[] Bytes, SentFrame Frame)? late = _laterFrame is { } waiting ? (_later, waiting) : null;
        _laterFrame = null;
        if (late is null && Happens(LineFault.Reordering))
        {
            _later = bytes.ToArray();
            _laterFrame = frame;
            return;
        }

        One(frame, bytes);
        if (Happens(LineFault.Duplicates)) One(frame, bytes);
        if (late is { } behind) One(behind.Frame, behind.Bytes);
    }

    /// <summary>Sends what still waits.</summary>
    public void Flush()
    {
        if (_laterFrame is { } waiting) One(waiting, _later);
        _laterFrame = null;
    }

    /// <summary>Whether something that strikes frames strikes here; counts it.</summary>
    public bool Happens(LineFault fault)
    {
        double rate = _options.RateOf(fault);
        if (rate <= 0 || _random.NextDouble() >= rate) return false;
        Truth.Count(fault);
        return true;
    }

    private void One(in SentFrame frame, ReadOnlySpan<byte> bytes)
    {
        long offset = Truth.Bytes;
        int faults = _delimiterSpoilt ? _spoiltBy : 0;
        if (_garbageFrames == 0 && Happens(LineFault.Garbage)) _garbageFrames = _random.Next(1, MostGarbageFrames + 1);
        if (_garbageFrames > 0)
        {
            _garbageFrames--;
            Garble(bytes.Length);
            faults |= 1 << (int)LineFault.Garbage;
            _delimiterSpoilt = true;
        }
        else
        {
            if (_burst == 0 && Happens(LineFault.Bursts)) _burst = -_random.Next(bytes.Length) - 1;
            faults |= Corrupt(bytes);
        }

        _spoiltBy = faults;
        if (faults != 0) Truth.Damaged(frame, offset, faults);
    }

    // At a wrong rate a byte is read as part of a byte or as several; what comes has little to do with what was sent.
    private void Garble(int length)
    {
        Span<byte> noise = new byte[Math.Max(1, (int)(length * (0.4 + (_random.NextDouble() * 2))))];
        _random.NextBytes(noise);
        noise[^1] |= 1;
        Put(noise);
    }

    private int Corrupt(ReadOnlySpan<byte> bytes)
    {
        int faults = 0;
        bool delimiter = true;
        Span<byte> room = _output.GetSpan((2 * bytes.Length) + MostBurstBytes);
        int count = 0;
        for (int i = 0; i < bytes.Length; i++)
        {
            byte sent = bytes[i];
            while (_insertions.Next())
            {
                Hit(LineFault.Insertions);

                // A zero beside a delimiter would damage nothing.
                room[count++] = (byte)_random.Next(i == 0 || i == bytes.Length - 1 ? 1 : 0, 256);
                if (count > 2 * i + 1) break;
            }

            if (_deletions.Next())
            {
                Hit(LineFault.Deletions);
                delimiter &= i < bytes.Length - 1;
                continue;
            }

            for (int bit = 0; bit < 8; bit++)
            {
                if (!_bits.Next()) continue;
                Hit(LineFault.BitErrors);
                sent ^= (byte)(1 << bit);
            }

            // Negative: bytes until it begins. Positive: bytes that are left of it.
            if (_burst < 0 && ++_burst == 0) _burst = _random.Next(2, MostBurstBytes + 1);
            if (_burst > 0)
            {
                _burst--;
                byte noise = (byte)_random.Next(256);
                if (noise != bytes[i]) faults |= 1 << (int)LineFault.Bursts;
                sent = noise;
            }

            room[count++] = sent;
            if (i == bytes.Length - 1) delimiter = sent == 0;
        }

        _output.Advance(count);
        Truth.Bytes += count;
        _delimiterSpoilt = !delimiter;
        return faults;

        void Hit(LineFault fault)
        {
            faults |= 1 << (int)fault;
            Truth.Count(fault);
        }
    }

    private void Put(ReadOnlySpan<byte> bytes)
    {
        bytes.CopyTo(_output.GetSpan(bytes.Length));
        _output.Advance(bytes.Length);
        Truth.Bytes += bytes.Length;
    }

    /// <summary>Chances of a small rate, drawn once per strike and not once per chance.</summary>
    private sealed class Strikes
    {
        private readonly double _logOfNone;
        private readonly Random _random;
        private long _left;

        public Strikes(double rate, Random random)
        {
            _random = random;
            _logOfNone = rate >= 1 ? double.NegativeInfinity : Math.Log(1 - rate);
            _left = rate <= 0 ? long.MaxValue : Draw();
        }

        public bool Next()
        {
            if (_left == long.MaxValue) return false;
            if (_left-- > 0) return false;
            _left = Draw();
            return true;
        }

        private long Draw() => (long)Math.Min(long.MaxValue - 1.0, Math.Log(1 - _random.NextDouble()) / _logOfNone);
    }
}
