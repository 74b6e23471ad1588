using System.CommandLine;
using Acquire.Harness.Options;
using Acquire.Harness.Shell;
using Acquire.Recordings;

namespace Acquire.Harness.Capturing;

/// <summary>The options of <c>capture</c>, those about the setup left out.</summary>
internal sealed class CaptureOptionsRead
{
    private readonly Argument<string> _source = new("SOURCE") { Description = "serial:PORT?baud=3000000, tcp:HOST:PORT, stdin:, file:NAME or synth:NAME." };
    private readonly Option<string> _out = new("--out") { HelpName = "NAME", Description = "Name of the recording, without an ending.", Required = true };
    private readonly Option<string?> _for = new("--for") { HelpName = "TIME", Description = "End after this time, such as 10s; default until stopped." };
    private readonly Option<string?> _scans = new("--scans") { HelpName = "N", Description = "End after so many scans." };
    private readonly Option<string?> _flush = new("--flush") { HelpName = "TIME", Description = "Time within which a scan is safe from a killed process, 10ms to 1h; default 1s." };
    private readonly Option<bool> _sync = new("--sync") { Description = "Wait for the disk with every flush, so that a power cut loses no more than a killed process." };
    private readonly Option<string?> _rotate = new("--rotate") { HelpName = "SIZE|TIME", Description = "Go on in NAME-0002 and so on after this size or time, such as 1GiB or 10min; the first is NAME-0001 then." };
    private readonly Option<bool> _raw = new("--raw") { Description = "Keep the bytes as they came, too, in NAME.raw; acquire inspect reads them." };

    /// <summary>Adds the argument and every option to the verb.</summary>
    public void AddTo(Command command)
    {
        command.Arguments.Add(_source);
        foreach (Option option in (Option[])[_out, _for, _scans, _flush, _sync, _rotate, _raw]) command.Options.Add(option);
    }

    /// <summary>Reads them.</summary>
    /// <exception cref="CommandFailure">A value is wrong.</exception>
    public CaptureChoices Read(ParseResult parsed)
    {
        string name = RecordingName.Of(_out.Name, parsed.GetRequiredValue(_out)), source = parsed.GetValue(_source)!;
        if (IsRecording(source, name)) throw CommandFailure.Usage(_out.Name, $"{name} is the recording that is read; give another name");
        CaptureChoices choices = new()
        {
            Source = source,
            Name = name,
            For = parsed.GetValue(_for) is { } time ? TimeSpan.FromSeconds(Math.Min(OptionText.SecondsAbove0(_for.Name, time), 4e6)) : null,
            Scans = parsed.GetValue(_scans) is { } scans ? OptionText.Index(_scans.Name, scans) : null,
            Flush = parsed.GetValue(_flush) is { } flush ? Flush(flush) : TimeSpan.FromSeconds(1),
            Sync = parsed.GetValue(_sync),
            Raw = parsed.GetValue(_raw),
            Rotation = parsed.GetValue(_rotate) is { } rotate ? RotationText.Read(_rotate.Name, rotate) : null,
        };
        if (choices.Scans == 0) throw CommandFailure.Usage(_scans.Name, "a recording has at least one scan; give 1 or more");
        return choices;
    }

    private static bool IsRecording(string source, string name)
    {
        const string kind = "file:";
        if (!source.StartsWith(kind, StringComparison.Ordinal)) return false;
        string path = source[kind.Length..].Split('?')[0];
        return path.Length > 0 && !path.EndsWith(".wav", StringComparison.OrdinalIgnoreCase)
            && string.Equals(Path.GetFullPath(SetupFile.NameBeside(path)), Path.GetFullPath(name) + SetupFile.Extension, StringComparison.Ordinal);
    }

    private TimeSpan Flush(string text) => OptionText.SecondsAbove0(_flush.Name, text) is >= 0.01 and <= 3_600 and var seconds
        ? TimeSpan.FromSeconds(seconds)
        : throw CommandFailure.Usage(_flush.Name, $"'{text}' is not from 10ms to 1h; give a time that is");
}
