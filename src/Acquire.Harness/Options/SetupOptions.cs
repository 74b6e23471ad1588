using System.CommandLine;
using Acquire.Capture;
using Acquire.Columns;
using Acquire.Harness.Shell;
using Acquire.Scales;
using Acquire.Sweeps;

namespace Acquire.Harness.Options;

/// <summary>The options with which a recording needs no setup file, and which override single values of one.</summary>
internal sealed class SetupOptions
{
    private readonly Option<string?> _setup = Text("--setup", "FILE", "Setup file; default NAME.setup.json beside the recording that is read, if there is one.");
    private readonly Option<string?> _columns = Text("--columns", "N", "Columns from edge to edge, 2 to 65536; default 1000.");
    private readonly Option<string?> _bits = Text("--bits", "N", "Bits of one code, 1 to 16; default what the recording says, else all bits of its words.");
    private readonly Option<string?> _pick = Text("--channels", "N,N[,N]", "Channels of the file to read, in this order; from then on they are counted from 0. Default all.");
    private readonly Option<string?> _rampChannel = Text("--ramp-channel", "N", "Channel that carries the ramp; default 0.");
    private readonly Option<string?> _verticalChannel = Text("--vertical-channel", "N[,N]", "Channels that carry verticals; default 1.");
    private readonly Option<string?> _rampVolts = Text("--ramp-volts", "V,V", "Ramp volts at code 0 and at full code, such as --ramp-volts=-5.5,5.5.");
    private readonly Option<string?> _verticalVolts = Text("--vertical-volts", "V,V", "Vertical volts at code 0 and at full code.");
    private readonly Option<string?> _edges = Text("--edges", "auto|LOW,HIGH", "Edges of the screen in ramp volts, low first; default auto: learnt.");
    private readonly Option<string?> _axis = Text("--axis", "START,END", "Frequency (or time) at the start and at the end of the sweep, such as 5kHz,55kHz.");
    private readonly Option<string?> _level = Text("--level", "V=L,V=L", "Vertical volts and their levels, such as 0V=-100dB,-1V=0dB; logarithmic unless --law says otherwise.");
    private readonly Option<string?> _law = Text("--law", "log|voltage|power", "What the vertical voltage is proportional to; default log.");
    private readonly Option<string?> _up = Text("--up", "codes-rise|codes-fall", "Which way codes go when the beam goes up; --level implies it; default codes-rise.");
    private readonly Option<string?> _direction = Text("--direction", "auto|rising|falling|both", "Which way the ramp's codes go while the beam draws; default auto.");
    private readonly Option<string?> _mode = Text("--mode", "swept|manual|time", "How the ramp is understood; default swept.");
    private readonly Option<string?> _timeSpan = Text("--time-span", "TIME", "Time across the screen with --mode time; default 1 s.");
    private readonly Option<string?> _placement = Text("--placement", "fitted|direct", "How a scan finds its column; default fitted.");
    private readonly Option<string?> _skew = Text("--skew", "SCANS", "Scans by which the vertical is read after the ramp, 0 to 1; default 0.");
    private readonly Option<string?> _videoDelay = Text("--video-delay", "TIME", "Time by which the vertical lags the ramp in the instrument, such as 0.8ms; default 0.");
    private readonly Option<string?> _settle = Text("--settle", "TIME", "Time after a retrace during which readings are flagged; default five video delays.");

    /// <summary>Adds every option to a verb.</summary>
    /// <param name="command">The verb.</param>
    public void AddTo(Command command)
    {
        foreach (Option option in All) command.Options.Add(option);
    }

    private IEnumerable<Option> All =>
    [
        _setup, _columns, _bits, _pick, _rampChannel, _verticalChannel, _rampVolts, _verticalVolts, _edges, _axis, _level, _law, _up,
        _direction, _mode, _timeSpan, _placement, _skew, _videoDelay, _settle,
    ];

    /// <summary>Path given with --setup, or null.</summary>
    /// <param name="parsed">The command line.</param>
    public string? SetupPath(ParseResult parsed) => parsed.GetValue(_setup);

    /// <summary>Bits given with --bits, or null.</summary>
    /// <param name="parsed">The command line.</param>
    public int? Bits(ParseResult parsed) => Given(parsed, _bits) is { } bits ? OptionText.Whole(_bits.Name, bits, 1, 16) : null;

    /// <summary>Channels picked with --channels; empty is all of the file.</summary>
    /// <param name="parsed">The command line.</param>
    public IReadOnlyList<int> Picked(ParseResult parsed)
    {
        if (Given(parsed, _pick) is not { } text) return [];
        int[] channels = [.. text.Split(',').Select(part => OptionText.Whole(_pick.Name, part.Trim(), 0, int.MaxValue))];
        if (channels.Length is < 2 or > ScanFormat.MaxChannels || channels.Distinct().Count() != channels.Length)
            throw CommandFailure.Usage(_pick.Name, $"'{text}' picks {channels.Distinct().Count()} of the file's channels; give 2 to {ScanFormat.MaxChannels} different ones, such as 0,3");
        return channels;
    }

    /// <summary>Whether --up was given.</summary>
    /// <param name="parsed">The command line.</param>
    public bool SaysUp(ParseResult parsed) => Given(parsed, _up) is not null;

    /// <summary>Lays the command line over a setup.</summary>
    /// <param name="parsed">The command line.</param>
    /// <param name="start">What the setup file or the defaults say.</param>
    /// <param name="channelCount">Channels of the recording.</param>
    /// <exception cref="CommandFailure">A value is out of its range or contradicts another; the line names the option.</exception>
    public Setup Override(ParseResult parsed, Setup start, int channelCount)
    {
        ScanFormat scan = Channels(parsed, start.Scan, channelCount);
        Setup setup = start with
        {
            Scan = scan,
            Verticals = ScalesOf(start, scan),
            Sweep = Sweep(parsed, start.Sweep),
            Columns = Columns(parsed, start.Columns),
            RampVolts = Given(parsed, _rampVolts) is { } volts ? OptionText.Volts(_rampVolts.Name, volts) : start.RampVolts,
            Axis = Given(parsed, _axis) is { } axis ? OptionText.Axis(_axis.Name, axis) : start.Axis,
        };
        if (Given(parsed, _timeSpan) is not null && setup.Sweep.Mode != SweepMode.Time)
            throw CommandFailure.Usage(_timeSpan.Name, $"it is the time across the screen where there is no ramp; add {_mode.Name} time, or leave it away");
        if (Given(parsed, _edges) is not null && setup.Sweep.Edges is not null && setup.RampVolts is null)
            throw CommandFailure.Usage(_edges.Name, $"edges are in ramp volts and nothing says what volts the ramp's codes are; add {_rampVolts.Name}");
        // An axis that was given for a ramp, or for another span, is not that of the columns now.
        bool stands = setup.Axis is not null && start.Sweep.Mode == SweepMode.Time && Given(parsed, _timeSpan) is null;
        if (setup.Sweep.Mode == SweepMode.Time && Given(parsed, _axis) is null && !stands)
            setup = setup with { Axis = setup.Scan.ScanRateHz is null ? null : new SweepAxis(0, setup.Sweep.TimeSpan, "s") };
        return setup with { Verticals = VerticalOverride.Apply(Vertical(parsed), setup) };
    }

    // Of several verticals a scale belongs to its channel: another channel in its place has codes until somebody says what they stand for.
    // Where there is one, it is the vertical's, on whatever channel that is.
    private static IReadOnlyList<VerticalScale> ScalesOf(Setup start, ScanFormat scan)
    {
        if (start.Verticals.Count == 0 || scan == start.Scan) return start.Verticals;
        int[] before = [.. start.Scan.VerticalChannels];
        if (before.Length == 1 && scan.VerticalChannels.Count == 1) return start.Verticals;
        return [.. scan.VerticalChannels.Select(channel => Array.IndexOf(before, channel) is >= 0 and var vertical ? start.VerticalScaleOf(vertical) : new VerticalScale())];
    }

    private VerticalOverride Vertical(ParseResult parsed) => new()
    {
        Volts = Given(parsed, _verticalVolts) is { } volts ? OptionText.Volts(_verticalVolts.Name, volts) : null,
        Level = Given(parsed, _level) is { } level ? OptionText.Level(_level.Name, level) : null,
        Law = Given(parsed, _law) switch
        {
            null => null,
            "log" => VerticalLaw.Logarithmic,
            "voltage" => VerticalLaw.Voltage,
            "power" => VerticalLaw.Power,
            { } other => throw OptionText.NotOneOf(_law.Name, other, "log, voltage or power"),
        },
        Up = Given(parsed, _up) switch
        {
            null => null,
            "codes-rise" => SignalUp.CodesRise,
            "codes-fall" => SignalUp.CodesFall,
            { } other => throw OptionText.NotOneOf(_up.Name, other, "codes-rise or codes-fall"),
        },
    };

    private ScanFormat Channels(ParseResult parsed, ScanFormat scan, int channelCount)
    {
        if (Bits(parsed) is { } bits) scan = scan with { Bits = bits };
        string? ramp = Given(parsed, _rampChannel), vertical = Given(parsed, _verticalChannel);
        if (ramp is null && vertical is null) return scan;

        int rampChannel = ramp is null ? scan.RampChannel : OptionText.Whole(_rampChannel.Name, ramp, 0, channelCount - 1);
        int[] verticals = vertical is null
            ? [.. Enumerable.Range(0, channelCount).Where(c => c != rampChannel && (scan.Roles[c] == ChannelRole.Vertical || c == scan.RampChannel)).Take(1)]
            : [.. vertical.Split(',').Select(part => OptionText.Whole(_verticalChannel.Name, part, 0, channelCount - 1))];
        if (verticals.Distinct().Count() != verticals.Length)
            throw CommandFailure.Usage(_verticalChannel.Name, $"'{vertical}' names a channel twice; name each once");
        if (verticals.Contains(rampChannel))
            throw CommandFailure.Usage(_verticalChannel.Name, $"channel {rampChannel} is the ramp; give another channel here or with {_rampChannel.Name}");
        ChannelRole[] roles = [.. scan.Roles.Select((role, c) =>
            c == rampChannel ? ChannelRole.Ramp
            : verticals.Contains(c) ? ChannelRole.Vertical
            : role == ChannelRole.Blanking ? role : ChannelRole.Auxiliary)];
        return scan with { Roles = roles };
    }

    private SweepOptions Sweep(ParseResult parsed, SweepOptions sweep)
    {
        if (Given(parsed, _edges) is { } edges) sweep = sweep with { Edges = OptionText.Edges(_edges.Name, edges) };
        return sweep with
        {
            TimeSpan = Given(parsed, _timeSpan) is { } span ? OptionText.SecondsAbove0(_timeSpan.Name, span) : sweep.TimeSpan,
            Direction = Given(parsed, _direction) switch
            {
                null => sweep.Direction,
                "auto" => RampDirection.Auto,
                "rising" => RampDirection.Rising,
                "falling" => RampDirection.Falling,
                "both" => RampDirection.Both,
                { } other => throw OptionText.NotOneOf(_direction.Name, other, "auto, rising, falling or both"),
            },
            Mode = Given(parsed, _mode) switch
            {
                null => sweep.Mode,
                "swept" => SweepMode.Swept,
                "manual" => SweepMode.Manual,
                "time" => SweepMode.Time,
                { } other => throw OptionText.NotOneOf(_mode.Name, other, "swept, manual or time"),
            },
        };
    }

    private ColumnOptions Columns(ParseResult parsed, ColumnOptions columns) => columns with
    {
        ColumnCount = Given(parsed, _columns) is { } count
            ? OptionText.Whole(_columns.Name, count, ColumnOptions.MinColumns, ColumnOptions.MaxColumns) : columns.ColumnCount,
        Placement = Given(parsed, _placement) switch
        {
            null => columns.Placement,
            "fitted" => Placement.Fitted,
            "direct" => Placement.Direct,
            { } other => throw OptionText.NotOneOf(_placement.Name, other, "fitted or direct"),
        },
        SkewScans = Given(parsed, _skew) is { } skew ? OptionText.Number(_skew.Name, skew, 0, 1) : columns.SkewScans,
        VideoDelaySeconds = Given(parsed, _videoDelay) is { } delay ? OptionText.Seconds(_videoDelay.Name, delay) : columns.VideoDelaySeconds,
        SettleSeconds = Given(parsed, _settle) is { } settle ? OptionText.Seconds(_settle.Name, settle) : columns.SettleSeconds,
    };

    private static string? Given(ParseResult parsed, Option<string?> option) => parsed.GetValue(option)?.Trim();

    private static Option<string?> Text(string name, string form, string description) =>
        new(name) { HelpName = form, Description = description };
}
