using System.Buffers;
using Acquire.Capture;
using Acquire.Link;

namespace Acquire.Bench.Link;

/// <summary>
/// Sends frames over a bad line into a decoder and checks what must hold whatever happens to them: no damaged frame is used; every frame whose bytes
/// and both delimiters are intact, and whose place has not passed, is used; scans delivered and in gaps are those between the first and the last frame used;
/// every scan holds what was sent at its position.
/// </summary>
internal sealed class LinkTrial
{
    private const int MostDelayed = 5;

    // A device without run numbers that begins anew sooner cannot always be told from frames that came twice or late.
    private const int FarBack = 65;

    private readonly LinkTrialOptions _options;
    private readonly Random _random;
    private readonly LinkBlows _blows;
    private readonly LinkEncoder _encoder;
    private readonly LinkTrialReceiver _receiver = new();
    private readonly LinkDecoder _decoder;
    private readonly ArrayBufferWriter<byte> _output = new(1 << 14);
    private readonly List<(byte[] Wire, int Start, uint Sequence, int Left)> _delayed = [];
    private readonly List<byte> _struck = [];
    private readonly ushort[] _scans;
    private byte[] _wire = new byte[1 << 14];
    private int _start;
    private long _offset;
    private bool _delimited = true;
    private long _framesSent;
    private long _scansSent;
    private ulong _lastWord;

    private LinkTrial(LinkTrialOptions options)
    {
        _options = options;
        _random = new Random(options.Seed);
        _blows = new LinkBlows(_random, options.BitErrorRate);
        _encoder = new LinkEncoder(new LinkEncoderOptions { FrameBytes = options.FrameBytes, Packed = options.Packed, Description = new StreamDescription { Device = "trial" } });
        _decoder = new LinkDecoder(_receiver, new LinkDecoderOptions { Observer = _receiver, StopAtUnknownMajor = false });
        _scans = new ushort[2 * _encoder.ScansPerFrame];
    }

    /// <summary>Runs a trial.</summary>
    public static LinkTrialResult Run(LinkTrialOptions options) => new LinkTrial(options).Run();

    private LinkTrialResult Run()
    {
        while (8 * _offset < _options.Bits && _receiver.Violations.Count == 0)
        {
            if (_random.NextDouble() < _options.ResetsPerFrame && (_options.NewRunNumbers || _encoder.Sequence > FarBack)) BeginAnew();
            SendOne();
            _receiver.Forget();
        }

        _decoder.Complete();
        _receiver.Close(_decoder);
        return new LinkTrialResult
        {
            Bits = 8 * _offset,
            FramesSent = _framesSent,
            CopiesIntact = _receiver.Copies,
            FramesUsed = _receiver.FramesUsed,
            DamagedUsed = _receiver.DamagedUsed,
            ScansSent = _scansSent,
            ScansDelivered = _receiver.Delivered,
            ScansInGaps = _receiver.InGaps,
            Breaks = _receiver.Breaks,
            Violations = _receiver.Violations,
        };
    }

    private void BeginAnew()
    {
        _start++;
        _lastWord = 0;
        _encoder.BeginRun((ushort)(_options.NewRunNumbers ? 1 + _start : 1));
    }

    private void SendOne()
    {
        uint sequence = _encoder.Sequence;
        ulong position = _encoder.Position;
        _output.ResetWrittenCount();
        Write();
        byte[] wire = _output.WrittenSpan.ToArray();
        _framesSent++;
        _receiver.Sent(_start, sequence, wire, (long)(_encoder.Position - position));

        if (_random.NextDouble() >= _options.BlowsPerFrame)
        {
            Carry(wire, _start, sequence, strike: false);
        }
        else
        {
            int blow = _random.Next(6);
            if (blow <= 1) _delayed.Add((wire, _start, sequence, _random.Next(1, MostDelayed + 1)));
            if (blow >= 1) Carry(wire, _start, sequence, strike: blow >= 3);
            if (blow == 2) Carry(wire, _start, sequence, strike: false);
        }

        for (int i = _delayed.Count - 1; i >= 0; i--)
        {
            (byte[] late, int start, uint number, int left) = _delayed[i];
            _delayed[i] = (late, start, number, left - 1);
            if (left > 0) continue;
            _delayed.RemoveAt(i);
            Carry(late, start, number, strike: false);
        }
    }

    private void Write()
    {
        switch (_random.Next(200))
        {
            case 0:
                _encoder.WriteDescription(_output);
                break;
            case 1:
                _encoder.WriteText("trial", _output);
                break;
            case 2:
                // Of the scan at which it is sent, so that whoever hears it knows which one that is.
                _lastWord = _encoder.Position;
                _encoder.WriteWord(_lastWord, (ushort)(LinkTrialReceiver.CodeOf(_start, _lastWord, 2) + 1), _output);
                break;
            case 3:
                _encoder.WriteOverrun(_random.Next(1, 1_000), _output);
                break;
            default:
                int count = _random.Next(20) == 0 ? _random.Next(1, _encoder.ScansPerFrame + 1) : _encoder.ScansPerFrame;
                for (int i = 0; i < count; i++)
                {
                    _scans[2 * i] = LinkTrialReceiver.CodeOf(_start, _encoder.Position + (ulong)i, 0);
                    _scans[(2 * i) + 1] = LinkTrialReceiver.CodeOf(_start, _encoder.Position + (ulong)i, 1);
                }

                _scansSent += count;
                _encoder.WriteScans(_scans.AsSpan(0, 2 * count), _output);
                break;
        }
    }

    private void Carry(byte[] sent, int start, uint sequence, bool strike)
    {
        ReadOnlySpan<byte> before = sent;
        if (strike)
        {
            _struck.Clear();
            _struck.AddRange(sent);
            _blows.Strike(_struck);
            before = System.Runtime.InteropServices.CollectionsMarshal.AsSpan(_struck);
        }

        if (_wire.Length < before.Length) _wire = new byte[2 * before.Length];
        Span<byte> wire = _wire.AsSpan(0, before.Length);
        before.CopyTo(wire);
        _blows.FlipBits(wire);
        if (wire.IsEmpty) return;

        if (_delimited && wire.SequenceEqual(sent)) _receiver.Intact(_offset, start, sequence);
        _delimited = wire[^1] == 0;
        _offset += wire.Length;
        while (!wire.IsEmpty)
        {
            // To the end of a piece, now and then in two parts.
            int end = wire.IndexOf((byte)0);
            int part = end < 0 ? wire.Length : end + 1;
            if (_random.Next(4) == 0) part = _random.Next(1, part + 1);
            _decoder.Take(wire[..part]);
            wire = wire[part..];
        }
    }
}
