using Acquire.Capture;

namespace Acquire.Sources.Synthetic;

/// <summary>A deterministic swept instrument with its converter: gives digitised ramp and verticals, and the truth beside them.</summary>
/// <remarks>
/// A pull source: nothing happens between reads. The words depend on the options only, never on how the reads are cut, and are the same
/// on every runtime. A read allocates nothing while the truth's lists do not grow. Not thread-safe.
/// </remarks>
public sealed class SyntheticBench
{
    private readonly SyntheticOptions _options;
    private readonly ChannelRole[] _roles;
    private readonly SweepCourse _course;
    private readonly RampSignal _ramp;
    private readonly VerticalSignal[] _verticals;
    private readonly BlankingSignal? _blanking;
    private readonly ConverterTable _converter;
    private readonly LossSchedule _losses;
    private readonly TruthKeeper _keeper;
    private readonly int _fullCode;
    private readonly long _endScan, _endPosition, _endSweep;

    // Instrument time in scans: delivered + lost + hidden. Position leaves out the hidden ones.
    private long _time, _position, _delivered;

    /// <summary>Makes a bench that stands at the start of its stream.</summary>
    /// <param name="options">What it is like.</param>
    /// <exception cref="ArgumentException">An option is out of its range; the message gives value, rule and fix.</exception>
    public SyntheticBench(SyntheticOptions options)
    {
        ArgumentNullException.ThrowIfNull(options);
        options.Validate();
        _options = options;
        Format = options.Format;
        _roles = [.. options.Roles];
        _fullCode = Format.FullCode;
        _course = new SweepCourse(options);
        _ramp = new RampSignal(options);
        _verticals = [.. Enumerable.Range(0, Format.VerticalChannels.Count).Select(v => new VerticalSignal(options, v, _ramp))];
        _blanking = Format.BlankingChannel >= 0 ? new BlankingSignal(options) : null;
        _converter = new ConverterTable(options);
        _losses = new LossSchedule(options);
        Truth = new SyntheticTruth(options);
        _keeper = new TruthKeeper(Truth);
        _endScan = options.Scans ?? long.MaxValue;
        _endPosition = options.DurationSeconds is { } seconds ? (long)Math.Round(seconds * options.ScanRateHz) : long.MaxValue;
        _endSweep = options.Sweeps ?? long.MaxValue;
    }

    /// <summary>The layout of its scans.</summary>
    public ScanFormat Format { get; }

    /// <summary>What it really did so far; complete at the end.</summary>
    public SyntheticTruth Truth { get; }

    /// <summary>Position of the next scan, lost scans counted.</summary>
    public long Position => _position;

    /// <summary>Gives the next scans, or what happens before them.</summary>
    /// <param name="scans">Filled from the start with whole interleaved scans; a multiple of the channel count long.</param>
    /// <returns>Scans with their count (fewer than fit where a loss or the end comes first), one gap, one break, or the end.</returns>
    /// <exception cref="ArgumentException"><paramref name="scans"/> is not whole scans.</exception>
    public SyntheticRead Read(Span<ushort> scans) => Read(scans, []);

    /// <summary>Gives the next scans with the truth of each.</summary>
    /// <param name="scans">As for <see cref="Read(Span{ushort})"/>.</param>
    /// <param name="truth">One entry per scan that fits into <paramref name="scans"/>, filled alongside.</param>
    /// <returns>As for <see cref="Read(Span{ushort})"/>.</returns>
    /// <exception cref="ArgumentException"><paramref name="scans"/> is not whole scans, or <paramref name="truth"/> has another number of entries.</exception>
    public SyntheticRead ReadWithTruth(Span<ushort> scans, Span<ScanTruth> truth)
    {
        if (truth.Length * (long)_roles.Length != scans.Length)
            throw new ArgumentException($"The truth has {truth.Length} entries for {scans.Length} words of {_roles.Length} channels; give one entry per scan.");
        return Read(scans, truth);
    }

    /// <summary>Loses the next scans, as a consumer that came too late does; the truth lists a gap.</summary>
    /// <param name="scans">Scans that nobody will see, 1 or more. Takes no more time and memory for many than for some thousand.</param>
    /// <exception cref="ArgumentOutOfRangeException"><paramref name="scans"/> is below 1.</exception>
    public void Lose(long scans)
    {
        ArgumentOutOfRangeException.ThrowIfLessThan(scans, 1);
        _keeper.Gap(_position, scans);
        Pass(scans);
        _position += scans;
    }

    /// <summary>Level that a vertical stands for at a place on the screen, without needles, noise and video filter.</summary>
    /// <param name="vertical">0 is the first vertical in channel order.</param>
    /// <param name="fraction">Screen fraction.</param>
    /// <param name="instrumentSweep">Number of the sweep as the instrument counts, for a level function.</param>
    /// <returns>Level in dB; negative infinity is no signal.</returns>
    public double TrueLevelAt(int vertical, double fraction, long instrumentSweep = 0) =>
        _verticals[vertical].LevelAt(fraction, instrumentSweep, _position);

    /// <summary>Screen fraction at which an undisturbed ramp has a level.</summary>
    /// <param name="rampCodes">Level of the ramp line in codes, fractions allowed.</param>
    /// <returns>Screen fraction without drift, noise and the converter's faults; below 0 and above 1 beside the screen.</returns>
    public double TrueFractionOf(double rampCodes)
    {
        RampModel ramp = _options.Ramp;
        double along = ((rampCodes / _fullCode) - ramp.Low) / (ramp.High - ramp.Low);
        return ramp.Kind == RampKind.Falling ? 1 - along : along;
    }

    /// <summary>The setup that a careful person would write for this bench: everything stated that can be read off the instrument.</summary>
    public Setup SetupFor() => SetupWriter.Write(_options);

    private SyntheticRead Read(Span<ushort> scans, Span<ScanTruth> truth)
    {
        int channels = _roles.Length;
        if (scans.Length % channels != 0)
            throw new ArgumentException($"The span has {scans.Length} words, not whole scans of {channels} channels; give a multiple of {channels}.");
        if (IsOver()) return new SyntheticRead(SyntheticReadKind.End, 0);
        if (_losses.NextAtScan == _delivered) return TakeLoss();

        long room = scans.Length / channels;
        room = Math.Min(Math.Min(room, _losses.NextAtScan - _delivered), Math.Min(_endScan - _delivered, _endPosition - _position));
        int count = 0;
        while (count < room)
        {
            double fraction = _course.MoveTo(_time);
            if (_course.Sweep >= _endSweep) break;
            ScanTruth scanTruth = Scan(scans.Slice(count * channels, channels), fraction);
            if (!truth.IsEmpty) truth[count] = scanTruth;
            count++;
        }

        return new SyntheticRead(SyntheticReadKind.Scans, count);
    }

    private bool IsOver()
    {
        if (Truth.Ended) return true;
        bool over = _delivered >= _endScan || _position >= _endPosition;
        if (!over && _endSweep != long.MaxValue)
        {
            _course.MoveTo(_time);
            over = _course.Sweep >= _endSweep;
        }

        if (over) _keeper.End();
        return over;
    }

    private SyntheticRead TakeLoss()
    {
        (long lost, bool isBreak) = _losses.Take();
        if (isBreak)
        {
            _keeper.Break(_position, lost);
            Pass(lost);
            return new SyntheticRead(SyntheticReadKind.Break, 0);
        }

        Lose(lost);
        return new SyntheticRead(SyntheticReadKind.Gap, lost);
    }

    private void Pass(long scans)
    {
        _ramp.Pass(_course, _time, scans);
        foreach (VerticalSignal vertical in _verticals) vertical.Pass(_time, scans, _position);
        _time += scans;
    }

    private ScanTruth Scan(Span<ushort> words, double courseFraction)
    {
        double fraction = courseFraction + _ramp.RealHumFraction(_time);
        ScanPhase phase = PhaseOf();
        bool beamOff = BlankingSignal.IsOff(_course, _options);
        long sweep = _keeper.Count(phase, _course, fraction, _position, beamOff);
        double firstVertical = 0;
        int rampChannel = 0, vertical = 0;
        for (int c = 0; c < words.Length; c++)
        {
            switch (_roles[c])
            {
                case ChannelRole.Ramp:
                    rampChannel = c;
                    break;
                case ChannelRole.Vertical:
                    double codes = _verticals[vertical].LineCodes(_time, _position);
                    if (vertical++ == 0) firstVertical = codes;
                    words[c] = _converter.Convert(codes);
                    break;
                case ChannelRole.Blanking:
                    words[c] = _converter.Convert(_blanking!.LineCodes(_time));
                    break;
                default:
                    words[c] = (ushort)(_position & _fullCode);
                    break;
            }
        }

        // The ramp comes last: an open input repeats the vertical.
        double line = _ramp.LineCodes(_time, fraction, firstVertical);
        _keeper.NoteLine(line);
        words[rampChannel] = _converter.Convert(_ramp.Disturb(line, _time));
        _time++;
        _position++;
        _delivered++;
        return new ScanTruth
        {
            Phase = phase,
            Sweep = sweep,
            InstrumentSweep = _course.Sweep,
            Fraction = phase == ScanPhase.NoRamp ? double.NaN : fraction,
            RampCodes = line,
            Level = _verticals[0].TrueLevel,
            BeamOff = beamOff,
        };
    }

    private ScanPhase PhaseOf()
    {
        if (_options.Ramp.Kind == RampKind.Manual) return ScanPhase.Manual;
        if (!_options.Ramp.HasSweeps) return ScanPhase.NoRamp;
        return _course.Part switch
        {
            CoursePart.Sweep => _course.Paused && _options.Ramp.Pause!.Blanked ? ScanPhase.Blanked : ScanPhase.Sweep,
            CoursePart.Rest => ScanPhase.Rest,
            _ => ScanPhase.Retrace,
        };
    }
}
