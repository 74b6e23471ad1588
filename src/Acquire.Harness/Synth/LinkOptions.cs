using System.CommandLine;
using Acquire.Harness.Instrument;
using Acquire.Harness.Options;
using Acquire.Harness.Shell;
using Acquire.Link;

namespace Acquire.Harness.Synth;

/// <summary>The options of <c>synth</c> that are about the link protocol and about what a bad line does to it.</summary>
internal sealed class LinkOptions
{
    private static readonly LineFault[] Faults = Enum.GetValues<LineFault>();

    private readonly Option<bool> _link = new("--link") { Description = "Write the bytes of the link protocol to --out, a file or -, instead of a recording." };
    private readonly Option<bool> _pty = new("--pty") { Description = "Serve a virtual instrument: speak the link protocol in real time on a pseudo-terminal. Linux only." };
    private readonly Option<string?> _ptyLink = new("--pty-link") { HelpName = "PATH", Description = "A symbolic link to the pseudo-terminal, for as long as it is served." };
    private readonly Option<string?> _frame = new("--frame") { HelpName = "BYTES", Description = "Bytes of a frame at most, 48 to 8192; default 1024." };
    private readonly Option<string?> _buffer = new("--device-buffer") { HelpName = "SCANS", Description = "Scans that the device can hold back before it loses some; default any number." };
    private readonly Option<string?> _seed = new("--fault-seed") { HelpName = "N", Description = "Seed of the line's faults; default 1." };
    private readonly Option<string?> _stallTime = new("--stall-time") { HelpName = "TIME", Description = "How long a stall lasts; default 50ms." };
    private readonly Dictionary<LineFault, Option<string?>> _faults = Faults.ToDictionary(fault => fault, fault => new Option<string?>("--" + LineFaultOptions.WordOf(fault))
    {
        HelpName = "RATE",
        Description = DescriptionOf(fault),
    });

    /// <summary>Adds every option to the verb.</summary>
    public void AddTo(Command command)
    {
        foreach (Option option in (Option[])[_link, _pty, _ptyLink, _frame, _buffer, _seed, _stallTime, .. _faults.Values]) command.Options.Add(option);
    }

    /// <summary>Whether the bytes of the link protocol are wanted in a file.</summary>
    public bool WantsBytes(ParseResult parsed) => parsed.GetValue(_link);

    /// <summary>Whether a virtual instrument is wanted.</summary>
    public bool WantsTerminal(ParseResult parsed) => parsed.GetValue(_pty);

    /// <summary>The symbolic link wanted, or null.</summary>
    public string? TerminalLink(ParseResult parsed) => parsed.GetValue(_ptyLink);

    /// <summary>Scans that the device can hold back, or null.</summary>
    public long? BufferScans(ParseResult parsed) => parsed.GetValue(_buffer) is { } text ? OptionText.Whole(_buffer.Name, text, 2, int.MaxValue) : null;

    /// <summary>How frames are made.</summary>
    public LinkEncoderOptions Encoder(ParseResult parsed) => new()
    {
        FrameBytes = parsed.GetValue(_frame) is { } text ? OptionText.Whole(_frame.Name, text, LinkEncoderOptions.FewestFrameBytes, LinkFrame.MostBytes) : 1_024,
    };

    /// <summary>What the line does.</summary>
    public LineFaultOptions Line(ParseResult parsed) => new()
    {
        Seed = parsed.GetValue(_seed) is { } seed ? OptionText.Whole(_seed.Name, seed, 0, int.MaxValue) : 1,
        StallTime = TimeSpan.FromSeconds(parsed.GetValue(_stallTime) is { } time ? Math.Min(OptionText.Seconds(_stallTime.Name, time), 3_600) : 0.05),
        Rates = _faults.Where(f => parsed.GetValue(f.Value) is not null)
            .ToDictionary(f => f.Key, f => OptionText.Number(f.Value.Name, parsed.GetValue(f.Value)!, 0, 1)),
    };

    /// <summary>Refuses options that say nothing without <c>--link</c> or <c>--pty</c>, and what does not go together.</summary>
    public void Check(ParseResult parsed)
    {
        bool link = WantsBytes(parsed), pty = WantsTerminal(parsed);
        if (link && pty) throw CommandFailure.Usage("--link", "--pty speaks the link protocol already; leave one of the two away");
        Option? ofLine = ((Option[])[_frame, _seed, _stallTime, .. _faults.Values]).FirstOrDefault(o => parsed.GetResult(o) is not null);
        if (ofLine is not null && !link && !pty) throw CommandFailure.Usage(ofLine.Name, "it is about the link; add --link or --pty");
        Option? ofTerminal = ((Option[])[_ptyLink, _buffer]).FirstOrDefault(o => parsed.GetResult(o) is not null);
        if (ofTerminal is not null && !pty) throw CommandFailure.Usage(ofTerminal.Name, "it is about a virtual instrument; add --pty");
    }

    private static string DescriptionOf(LineFault fault) => fault switch
    {
        LineFault.BitErrors => "Share of bits that come inverted, 0 to 1, such as 1e-6.",
        LineFault.Insertions => "Share of bytes before which one comes that nobody sent.",
        LineFault.Deletions => "Share of bytes that never come.",
        LineFault.Bursts => "Share of frames in which 2 to 64 bytes become noise.",
        LineFault.Stalls => "Share of frames after which the line pauses.",
        LineFault.Duplicates => "Share of frames that come twice.",
        LineFault.Reordering => "Share of frames that come after the one behind them.",
        LineFault.Resets => "Share of frames after which the device starts anew.",
        _ => "Share of frames at which the line runs at a wrong rate for 1 to 4 frames.",
    };
}
