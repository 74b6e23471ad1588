using Acquire.Link;

namespace Acquire.Bench.Link;

/// <summary>Damages one copy of a frame on its way.</summary>
internal sealed class LinkBlows(Random random, double bitErrorRate)
{
    private readonly byte[] _frame = new byte[LinkFrame.MostEncodedBytes + Cobs.Slack];
    private readonly byte[] _encoded = new byte[LinkFrame.MostEncodedBytes + 1];
    private long _bitsToNextError = -1;

    /// <summary>Flips bits of what is on the wire, at the bit-error rate.</summary>
    public void FlipBits(Span<byte> wire)
    {
        if (bitErrorRate <= 0) return;
        if (_bitsToNextError < 0) _bitsToNextError = Gap();
        long bits = 8L * wire.Length;
        while (_bitsToNextError < bits)
        {
            wire[(int)(_bitsToNextError / 8)] ^= (byte)(1 << (int)(_bitsToNextError % 8));
            _bitsToNextError += 1 + Gap();
        }

        _bitsToNextError -= bits;
    }

    /// <summary>Does one thing to a frame with its closing delimiter; repeating and delaying are not done here.</summary>
    public void Strike(List<byte> wire)
    {
        switch (random.Next(10))
        {
            case 0:
                wire.InsertRange(random.Next(wire.Count + 1), Noise(random.Next(1, 9)));
                break;
            case 1:
                int at = random.Next(wire.Count);
                wire.RemoveRange(at, Math.Min(random.Next(1, 9), wire.Count - at));
                break;
            case 2:
                at = random.Next(wire.Count);
                foreach (byte b in Noise(Math.Min(random.Next(1, 65), wire.Count - at))) wire[at++] = b;
                break;
            case 3:
                wire.InsertRange(random.Next(wire.Count + 1), [0]);
                break;
            case 4:
                wire.RemoveAt(wire.Count - 1);
                break;
            case 5:
                wire.RemoveRange(0, random.Next(wire.Count));
                break;
            case 6:
                // A stretch of the frame once more, as a sender does whose memory is read twice.
                at = random.Next(wire.Count);
                wire.InsertRange(at, wire.GetRange(at, Math.Min(random.Next(1, 40), wire.Count - at)));
                break;
            case 7:
                // The first length of the stuffing: everything behind it shifts.
                wire[0] = (byte)random.Next(256);
                break;
            default:
                StrikeField(wire);
                break;
        }
    }

    // Sound stuffing, the old checks, and a field of the header or trailer that lies: version, kind, length, sequence, position, run, sum, CRC.
    private void StrikeField(List<byte> wire)
    {
        int count = Cobs.Decode(wire.ToArray().AsSpan(0, wire.Count - 1), _frame);
        (int Offset, int Bytes)[] fields = [(0, 1), (1, 1), (2, 2), (4, 4), (8, 8), (16, 2), (count - 6, 2), (count - 4, 4)];
        (int offset, int bytes) = fields[random.Next(fields.Length)];
        if (random.Next(2) == 0) _frame[offset + random.Next(bytes)] ^= (byte)(1 << random.Next(8));
        else random.NextBytes(_frame.AsSpan(offset, bytes));

        wire.Clear();
        foreach (byte b in _encoded.AsSpan(0, Cobs.Encode(_frame.AsSpan(0, count), _encoded))) wire.Add(b);
        wire.Add(0);
    }

    private byte[] Noise(int count)
    {
        byte[] noise = new byte[count];
        random.NextBytes(noise);
        return noise;
    }

    // Bits without an error before the next one, geometric.
    private long Gap() => (long)Math.Min(long.MaxValue / 4, Math.Log(1 - random.NextDouble()) / Math.Log(1 - bitErrorRate));
}
