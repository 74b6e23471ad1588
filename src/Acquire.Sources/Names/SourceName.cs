using System.Globalization;
using Acquire.Capture;
using Acquire.Recordings;
using Acquire.Sources.Serial;
using Acquire.Sources.Streams;
using Acquire.Sources.Synthetic;

namespace Acquire.Sources.Names;

/// <summary>Makes a source from its written name: <c>serial:PORT?baud=3000000</c>, <c>tcp:HOST:PORT</c>, <c>stdin:</c>, <c>file:NAME</c>, <c>synth:NAME</c>.</summary>
/// <remarks>
/// Options follow a question mark, with &amp; between them. Those of the bytes' decoder are the same for serial, tcp and stdin: <c>decoder=link|lines|words</c>,
/// <c>channels=ramp,vertical</c>, <c>bits=12</c>, <c>rate=100kHz</c>; with lines <c>numbered=yes</c>; with words <c>tagged=yes</c>. Whatever is not known is refused by name.
/// </remarks>
public static class SourceName
{
    private const string Kinds = "serial:PORT?baud=3000000, tcp:HOST:PORT, stdin:, file:NAME or synth:NAME";

    /// <summary>Makes the source; nothing that it names is touched before it runs.</summary>
    /// <param name="text">The name.</param>
    /// <param name="choices">What the name does not say, or null.</param>
    /// <exception cref="SourceException">The name is wrong (<see cref="SourceFailure.NameWrong"/>); the message is one line with the name, what is wrong and what to write.</exception>
    public static IScanSource Create(string text, SourceChoices? choices = null)
    {
        ArgumentNullException.ThrowIfNull(text);
        choices ??= new SourceChoices();
        int colon = text.IndexOf(':', StringComparison.Ordinal);
        string kind = colon < 0 ? text : text[..colon];
        string rest = colon < 0 ? "" : text[(colon + 1)..];
        if (colon < 0 || kind is not ("serial" or "tcp" or "stdin" or "file" or "synth")) throw Wrong(text, $"that is no source; write {Kinds}");
        try
        {
            return kind switch
            {
                "serial" => Serial(text, rest, choices),
                "tcp" => Tcp(text, rest, choices),
                "stdin" => StandardInput(text, rest, choices),
                "file" => File(text, rest, choices),
                _ => Synth(text, rest, choices),
            };
        }
        catch (ArgumentException exception)
        {
            throw Wrong(text, exception.Message.ReplaceLineEndings(" ").TrimEnd('.'), exception);
        }
    }

    internal static SourceException Wrong(string text, string problem, Exception? cause = null) =>
        new(SourceFailure.NameWrong, $"{ByteSource.Named(VisibleText.Whole(text.Length == 0 ? "\"\"" : text))} {problem}.", cause);

    private static SerialSource Serial(string text, string rest, SourceChoices choices)
    {
        NameOptions options = NameOptions.Split(text, rest, out string port);
        if (port.Length == 0) throw Wrong(text, "the port is missing; write serial:PORT, for example serial:/dev/ttyACM0?baud=3000000");
        SerialOptions usual = new();
        SerialOptions serial = new()
        {
            Baud = (int)options.Whole("baud", usual.Baud, int.MaxValue),
            HardwareFlow = options.Word("flow", "none", "none", "rtscts") is "rtscts",
            Dtr = options.Switch("dtr", "on", "off"),
            Rts = options.Switch("rts", "on", "off"),
            ReplugWait = options.Text("replug") switch
            {
                null => usual.ReplugWait,
                "no" => TimeSpan.Zero,
                "forever" => Timeout.InfiniteTimeSpan,
                { } time => options.Seconds("replug", time),
            },
        };
        SerialSource source = new(port, serial, DecoderChoice.Read(options, choices)) { Tap = choices.Tap };
        options.Finish();
        return source;
    }

    private static TcpSource Tcp(string text, string rest, SourceChoices choices)
    {
        NameOptions options = NameOptions.Split(text, rest, out string address);
        int colon = address.LastIndexOf(':');
        string host = colon < 0 ? address : address[..colon];
        bool bracketed = host.Length > 2 && host[0] == '[' && host[^1] == ']';
        if (bracketed) host = host[1..^1];
        if (colon < 0 || host.Length == 0 || (!bracketed && host.Contains(':', StringComparison.Ordinal))
            || !int.TryParse(address.AsSpan(colon + 1), NumberStyles.None, CultureInfo.InvariantCulture, out int port) || port is < 1 or > 65_535)
        {
            throw Wrong(text, "that is no address; write tcp:HOST:PORT with a port from 1 to 65535, for example tcp:192.0.2.7:4000 or tcp:[2001:db8::7]:4000");
        }

        TcpOptions tcp = new()
        {
            Waits = options.Switch("wait", "yes", "no") ?? false,
            ConnectTimeout = options.Text("timeout") is { } time ? options.Seconds("timeout", time) : new TcpOptions().ConnectTimeout,
        };
        TcpSource source = new(host, port, tcp, DecoderChoice.Read(options, choices)) { Tap = choices.Tap };
        options.Finish();
        return source;
    }

    private static StandardInputSource StandardInput(string text, string rest, SourceChoices choices)
    {
        NameOptions options = NameOptions.Split(text, rest, out string name);
        if (name.Length > 0) throw Wrong(text, "standard input has no name; write stdin: alone, or file:NAME for a recording");
        StandardInputSource source = new(DecoderChoice.Read(options, choices))
        {
            Tap = choices.Tap,
            Waits = options.Switch("wait", "yes", "no") ?? true,
        };
        options.Finish();
        return source;
    }

    private static RecordingSource File(string text, string rest, SourceChoices choices)
    {
        NameOptions options = NameOptions.Split(text, rest, out string path);
        if (path.Length == 0) throw Wrong(text, "the recording's name is missing; write file:NAME");
        RecordingOptions reading = new()
        {
            Bits = options.Text("bits") is null ? choices.Setup?.Scan.Bits : (int)options.Whole("bits", 0, 16),
        };
        RecordingSource source = new(path, reading) { Format = choices.Setup?.Scan, Roles = options.Roles("channels") };
        options.Finish();
        return source;
    }

    private static SyntheticSource Synth(string text, string rest, SourceChoices choices)
    {
        // Everything but the pace belongs to the bench, which has a reader of its own.
        NameOptions options = NameOptions.Split(text, rest, out string bench);
        if (bench.Length == 0) throw Wrong(text, $"the bench's name is missing; write synth:NAME, one of {string.Join(", ", SyntheticSpec.BenchNames)}");
        double? pace = options.Text("pace") is null ? null : options.Number("pace");
        try
        {
            SyntheticOptions spec = SyntheticSpec.ParseSource(options.Rest(bench));
            return new SyntheticSource(spec, text) { Pace = pace, Clock = choices.Clock };
        }
        catch (SyntheticSpecException exception)
        {
            throw Wrong(text, exception.Message.TrimEnd('.'), exception);
        }
    }
}
