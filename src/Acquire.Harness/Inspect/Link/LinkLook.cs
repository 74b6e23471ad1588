using Acquire.Capture;
using Acquire.Link;

namespace Acquire.Harness.Inspect.Link;

/// <summary>What a file of link bytes shows: every frame counted, the first ones and the first faults kept.</summary>
internal sealed class LinkLook : ILinkObserver, IScanReceiver
{
    private const int MostTexts = 20;

    private readonly int _mostFrames, _mostFaults;
    private readonly List<FrameRow> _frames = [];
    private readonly List<FrameRow> _faults = [];
    private readonly List<string> _texts = [];
    private readonly SortedDictionary<byte, long> _kinds = [];
    private readonly long[] _ofVerdict = new long[Enum.GetValues<LinkVerdict>().Length];
    private readonly long[] _bytesOfVerdict = new long[Enum.GetValues<LinkVerdict>().Length];
    private readonly SortedDictionary<string, (long Places, long Scans)> _losses = new(StringComparer.Ordinal);
    private bool _described;

    private LinkLook(int mostFrames, int mostFaults) => (_mostFrames, _mostFaults) = (mostFrames, mostFaults);

    /// <summary>The file.</summary>
    public required LinkFile File { get; init; }

    /// <summary>What the decoder counted.</summary>
    public LinkDecoder Decoder { get; private set; } = null!;

    /// <summary>The first frames.</summary>
    public IReadOnlyList<FrameRow> Frames => _frames;

    /// <summary>Frames and pieces of frames in all.</summary>
    public long FrameCount { get; private set; }

    /// <summary>The first that were not used.</summary>
    public IReadOnlyList<FrameRow> Faults => _faults;

    /// <summary>Frames and pieces that were not used.</summary>
    public long FaultCount { get; private set; }

    /// <summary>Pieces between delimiters that were no sound frame, the beginning and the end of the file left out.</summary>
    public long DamagedCount => Damage.Sum(CountOf);

    /// <summary>Where the first of them stands; 0 where there is none.</summary>
    public long FirstDamage { get; private set; }

    /// <summary>Frames by the number of their kind.</summary>
    public IReadOnlyDictionary<byte, long> Kinds => _kinds;

    /// <summary>Losses by cause: places and scans.</summary>
    public IReadOnlyDictionary<string, (long Places, long Scans)> Losses => _losses;

    /// <summary>What the device says of its scans, or what was taken for granted; null without a scan.</summary>
    public StreamDescription? Description { get; private set; }

    /// <summary>Whether the device said something else of its scans later on.</summary>
    public bool DescriptionChanges { get; private set; }

    /// <summary>The device's first words.</summary>
    public IReadOnlyList<string> Texts => _texts;

    /// <summary>Frames with the device's words.</summary>
    public long TextCount { get; private set; }

    /// <summary>Verdicts that say that bytes came through otherwise than sent.</summary>
    public static IReadOnlyList<LinkVerdict> Damage { get; } =
        [LinkVerdict.Crc, LinkVerdict.Sum, LinkVerdict.Stuffing, LinkVerdict.TooShort, LinkVerdict.TooLong, LinkVerdict.Length, LinkVerdict.Contents];

    /// <summary>Looks at a file.</summary>
    /// <param name="file">Open file.</param>
    /// <param name="mostFrames">Frames kept as they are.</param>
    /// <param name="mostFaults">Faults kept as they are.</param>
    /// <param name="cancel">Stops it.</param>
    public static LinkLook At(LinkFile file, int mostFrames, int mostFaults, CancellationToken cancel)
    {
        LinkLook look = new(mostFrames, mostFaults) { File = file };
        look.Decoder = file.Decode(look, look, goOn: null, cancel);
        return look;
    }

    /// <summary>Pieces with a verdict.</summary>
    public long CountOf(LinkVerdict verdict) => _ofVerdict[(int)verdict];

    /// <summary>Their bytes.</summary>
    public long BytesOf(LinkVerdict verdict) => _bytesOfVerdict[(int)verdict];

    /// <inheritdoc/>
    public void Saw(in LinkFrameReport report, ReadOnlySpan<byte> encoded)
    {
        FrameRow row = new(report, FrameCount++);
        _ofVerdict[(int)report.Verdict]++;
        _bytesOfVerdict[(int)report.Verdict] += report.EncodedBytes;
        if (report.Header is { } header) _kinds[(byte)header.Kind] = _kinds.GetValueOrDefault((byte)header.Kind) + 1;
        if (_frames.Count < _mostFrames) _frames.Add(row);
        if (report.Verdict is LinkVerdict.Accepted) return;
        if (FaultCount++ < _mostFaults) _faults.Add(row);
        if (FirstDamage == 0 && Damage.Contains(report.Verdict)) FirstDamage = report.Offset;
    }

    /// <inheritdoc/>
    public void Describe(StreamDescription description)
    {
        DescriptionChanges |= _described && Description is { } before
            && (!before.Scan.Roles.SequenceEqual(description.Scan.Roles) || before.Scan.Bits != description.Scan.Bits || !Nullable.Equals(before.Scan.ScanRateHz, description.Scan.ScanRateHz));
        if (!_described) Description = description;
        _described = true;
    }

    /// <inheritdoc/>
    public void Take(ReadOnlySpan<ushort> scans)
    {
        // The scans themselves are looked at in walks of their own, once it is known what they are.
    }

    /// <inheritdoc/>
    public void Skip(long lostScans, GapCause cause) => Lose(Output.WordNames.Of(cause), lostScans);

    /// <inheritdoc/>
    public void Break(GapCause cause, long atLeast) => Lose(Output.WordNames.Of(cause) + " (break)", atLeast);

    /// <inheritdoc/>
    public void Mark(long position, ushort word)
    {
        // Counted as a frame of its kind.
    }

    /// <inheritdoc/>
    public void Say(string text)
    {
        TextCount++;
        if (_texts.Count < MostTexts) _texts.Add(text);
    }

    private void Lose(string cause, long scans)
    {
        (long places, long before) = _losses.GetValueOrDefault(cause);
        _losses[cause] = (places + 1, before + scans);
    }
}
