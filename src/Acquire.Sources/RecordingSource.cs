using Acquire.Capture;
using Acquire.Recordings;
using Acquire.Scales;

namespace Acquire.Sources;

/// <summary>Scans of a recording, as fast as the receiver takes them, with its gaps and breaks, the device's auxiliary words and what the device said.</summary>
public sealed class RecordingSource : IScanSource
{
    private const int ScansPerRead = 16_384;

    private readonly string _path;
    private readonly RecordingOptions _options;
    private int _hasRun;

    /// <summary>Makes a source; the recording is not opened before <see cref="Run"/>.</summary>
    /// <param name="path">NAME, NAME.sigmf-meta, NAME.sigmf-data, or NAME.wav.</param>
    /// <param name="options">How it is read, or null: every channel, all bits.</param>
    /// <exception cref="ArgumentException">The path is empty, or an option is outside its range.</exception>
    public RecordingSource(string path, RecordingOptions? options = null)
    {
        ArgumentException.ThrowIfNullOrEmpty(path);
        _path = path;
        _options = options ?? new RecordingOptions();
        _options.Validate();
        Name = VisibleText.Whole($"file:{path}");
    }

    /// <inheritdoc/>
    public string Name { get; }

    /// <summary>A recording waits: true.</summary>
    public bool CanWait => true;

    /// <summary>What the channels carry and how many bits a code has, which a recording does not say of itself.</summary>
    /// <value>Null (the default): as the setup file beside the recording says, otherwise ramp, vertical, and the rest auxiliary, with the bits that the recording states or all of a word.
    /// Its roles are passed over where the number of channels differs.</value>
    public ScanFormat? Format { get; init; }

    /// <summary>What the channels carry where nothing was said of their bits: those stay as without it. Null: as <see cref="Format"/> says.</summary>
    internal IReadOnlyList<ChannelRole>? Roles { get; init; }

    /// <inheritdoc/>
    public void Run(IScanReceiver receiver, CancellationToken stop)
    {
        ArgumentNullException.ThrowIfNull(receiver);
        if (Interlocked.Exchange(ref _hasRun, 1) != 0)
            throw new InvalidOperationException($"{Name} has run before; a source runs once. Make another source.");
        if (stop.IsCancellationRequested) return;
        ScanFormat? format = Format ?? Guarded(() => SetupFile.TryFindBeside(_path) is { } file ? SetupFile.Load(file).Scan : null);
        RecordingOptions options = _options.Bits is null && format is not null ? _options with { Bits = format.Bits } : _options;
        try
        {
            using RecordingReader reader = Guarded(() => RecordingReader.Open(_path, options, stop));
            Give(reader, Roles ?? format?.Roles, receiver, stop);
        }
        catch (OperationCanceledException) when (stop.IsCancellationRequested)
        {
            // Stopped in the pass over the file that some need before their first scan.
        }
    }

    private static void Give(RecordingReader reader, IReadOnlyList<ChannelRole>? said, IScanReceiver receiver, CancellationToken stop)
    {
        receiver.Describe(DescriptionOf(reader, said));
        RecordedRemarks remarks = new(reader.Annotations);
        ushort[] scans = GC.AllocateUninitializedArray<ushort>(ScansPerRead * reader.ChannelCount);
        long lost = 0;
        while (!stop.IsCancellationRequested)
        {
            long start = reader.Position;
            RecordingRead read = Read(reader, scans.AsSpan(0, remarks.ScansUntilNext(start, ScansPerRead) * reader.ChannelCount));
            switch (read.Kind)
            {
                case RecordingReadKind.Scans:
                    // Only now is it sure that no loss stands before these scans: a word that holds from the first of them on is given behind the loss.
                    remarks.Give(receiver, start, start + lost);
                    receiver.Take(scans.AsSpan(0, read.Scans * reader.ChannelCount));
                    break;
                case RecordingReadKind.Gap:
                    lost += read.LostScans;
                    receiver.Skip(read.LostScans, read.Cause);
                    break;
                case RecordingReadKind.Break:
                    receiver.Break(read.Cause, 0);
                    break;
                default:
                    return;
            }
        }
    }

    private static RecordingRead Read(RecordingReader reader, Span<ushort> scans)
    {
        try
        {
            return reader.Read(scans);
        }
        catch (RecordingException exception)
        {
            throw new SourceException(SourceFailure.Unreadable, exception.Message, exception);
        }
    }

    private static T Guarded<T>(Func<T> open)
    {
        try
        {
            return open();
        }
        catch (RecordingException exception)
        {
            throw new SourceException(FailureOf(exception.Failure), exception.Message, exception);
        }
        catch (SetupFileException exception)
        {
            throw new SourceException(SourceFailure.NotUnderstood, exception.Message, exception);
        }
    }

    private static SourceFailure FailureOf(RecordingFailure failure) => failure switch
    {
        RecordingFailure.NotFound or RecordingFailure.MetadataMissing or RecordingFailure.DataMissing => SourceFailure.Missing,
        RecordingFailure.IsFolder => SourceFailure.IsFolder,
        RecordingFailure.NotPermitted => SourceFailure.NotPermitted,
        RecordingFailure.Unreadable or RecordingFailure.Shrunk or RecordingFailure.HashWrong => SourceFailure.Unreadable,
        _ => SourceFailure.NotUnderstood,
    };

    private static StreamDescription DescriptionOf(RecordingReader reader, IReadOnlyList<ChannelRole>? said)
    {
        int channels = reader.ChannelCount;
        IReadOnlyList<ChannelRole> roles = said?.Count == channels
            ? said
            : [.. Enumerable.Range(0, channels).Select(c => c switch { 0 => ChannelRole.Ramp, 1 => ChannelRole.Vertical, _ => ChannelRole.Auxiliary })];
        return new StreamDescription
        {
            Scan = new ScanFormat { Roles = roles, Bits = reader.Bits, ScanRateHz = reader.ScanRateHz },
            Volts = [.. Enumerable.Range(0, channels).Select(reader.VoltsOf)],
            Device = reader.Hardware ?? "",
        };
    }
}
