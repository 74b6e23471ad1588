using System.Diagnostics;
using Acquire.Capture;
using Acquire.Link;
using Acquire.Scales;
using Acquire.Sources.Synthetic;

namespace Acquire.Harness.Instrument;

/// <summary>A synthetic bench that speaks the link protocol over a line.</summary>
internal sealed class InstrumentVoice
{
    private readonly SyntheticBench _bench;
    private readonly GapCause _lossCause;
    private readonly LinkEncoder _encoder;
    private readonly FaultyLine _line;
    private readonly FrameBuffer _frame = new();
    private readonly ushort[] _scans;
    private readonly int _channels;
    private ushort _run = 1;
    private bool _stalled;

    /// <summary>Makes a voice that has not said anything yet.</summary>
    /// <param name="options">The bench.</param>
    /// <param name="link">How frames are made; its description is replaced by the bench's.</param>
    /// <param name="line">Carries the frames.</param>
    public InstrumentVoice(SyntheticOptions options, LinkEncoderOptions link, FaultyLine line)
    {
        _bench = new SyntheticBench(options);
        _lossCause = options.Loss.Cause;
        _channels = options.Roles.Count;
        Description = DescriptionOf(options);
        _encoder = new LinkEncoder(link with { Description = Description, Run = _run });
        _scans = new ushort[_encoder.ScansPerFrame * _channels];
        _line = line;
    }

    /// <summary>What it says that its scans are.</summary>
    public StreamDescription Description { get; }

    /// <summary>Scans that have passed at the converter: said, lost, or kept to itself.</summary>
    public long Passed { get; private set; }

    /// <summary>The bench, for its truth.</summary>
    public SyntheticBench Bench => _bench;

    /// <summary>Whether a frame was struck by a stall; asking takes it back.</summary>
    public bool TakeStall()
    {
        bool stalled = _stalled;
        _stalled = false;
        return stalled;
    }

    /// <summary>Says what its scans are.</summary>
    public void Describe()
    {
        _encoder.WriteDescription(_frame);
        Send(LinkFrameKind.Description, 0);
    }

    /// <summary>Says the scans of one frame, or what happened before them.</summary>
    /// <returns>Whether there is more.</returns>
    public bool Speak()
    {
        SyntheticRead read = _bench.Read(_scans);
        switch (read.Kind)
        {
            case SyntheticReadKind.Scans:
                _encoder.WriteScans(_scans.AsSpan(0, (int)read.Count * _channels), _frame);
                Send(Description.Scan.Bits <= 12 ? LinkFrameKind.Scans12 : LinkFrameKind.Scans16, (int)read.Count);
                Passed += read.Count;
                if (_line.Happens(LineFault.Resets)) StartAnew();
                _stalled |= _line.Happens(LineFault.Stalls);
                return true;
            case SyntheticReadKind.Gap:
                Lose(read.Count, said: _lossCause == GapCause.Overrun);
                return true;
            case SyntheticReadKind.Break:
                StartAnew();
                return true;
            case SyntheticReadKind.End:
                return false;
            default:
                throw new UnreachableException();
        }
    }

    /// <summary>Scans pass that nobody will see.</summary>
    /// <param name="scans">1 or more.</param>
    /// <param name="said">Whether the device says that it lost them; otherwise only the next position tells.</param>
    public void Pass(long scans, bool said)
    {
        _bench.Lose(scans);
        Lose(scans, said);
    }

    /// <summary>Says that it stops.</summary>
    public void End()
    {
        _encoder.WriteEnd(_frame);
        Send(LinkFrameKind.End, 0);
        _line.Flush();
    }

    private static StreamDescription DescriptionOf(SyntheticOptions options) => new()
    {
        Scan = options.Format,
        Volts = VoltsOf(options),
        Device = $"synthetic bench, seed {options.Seed}",
    };

    private static CodeVolts?[] VoltsOf(SyntheticOptions options)
    {
        var volts = new CodeVolts?[options.Roles.Count];
        int vertical = 0;
        for (int c = 0; c < volts.Length; c++)
        {
            volts[c] = options.Roles[c] switch
            {
                ChannelRole.Ramp => options.Ramp.Volts,
                ChannelRole.Vertical => options.VerticalOf(vertical++).Volts,
                _ => null,
            };
        }

        return volts;
    }

    private void Lose(long scans, bool said)
    {
        Passed += scans;
        _encoder.WriteOverrun(scans, _frame);
        if (said) Send(LinkFrameKind.Overrun, 0);

        // Otherwise it was made for its effect on the position; nobody gets it.
        else _frame.Clear();
    }

    private void StartAnew()
    {
        _encoder.BeginRun(++_run);
        Describe();
    }

    private void Send(LinkFrameKind kind, int scans)
    {
        ReadOnlySpan<byte> bytes = _frame.Written;
        _line.Send(new SentFrame(kind, _encoder.Run, _encoder.Sequence - 1, _encoder.Position - (ulong)scans, scans), bytes);
        _frame.Clear();
    }
}
