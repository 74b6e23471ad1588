using System.CommandLine;
using System.Diagnostics;
using System.Globalization;
using Acquire.Capture;
using Acquire.Harness.Options;
using Acquire.Harness.Output;
using Acquire.Harness.Shell;
using Acquire.Recordings;
using Acquire.Scales;

namespace Acquire.Harness.Runs;

/// <summary>A recording and the setup it is read with; feeds it through an engine in constant memory.</summary>
internal sealed class RecordingRun : IDisposable
{
    private const int ScansPerRead = 64 * 1024;
    private const long MostScansForGuess = 1 << 24;
    private static readonly int[] UsualBits = [8, 10, 12, 14];

    private RecordingRun(string path, RecordingReader reader, Setup setup, string? setupPath, IReadOnlyList<string> notes)
    {
        Path = path;
        Reader = reader;
        Setup = setup;
        SetupPath = setupPath;
        Notes = notes;
    }

    /// <summary>The recording as it was named on the command line.</summary>
    public string Path { get; }

    /// <summary>The open recording.</summary>
    public RecordingReader Reader { get; }

    /// <summary>What the setup file, the recording and the command line say together.</summary>
    public Setup Setup { get; }

    /// <summary>Setup file that was read, or null.</summary>
    public string? SetupPath { get; }

    /// <summary>Name that a setup file beside the recording has, whether there is one or not.</summary>
    public string SetupPlace => SetupFile.NameBeside(Path);

    /// <summary>Files that the run reads.</summary>
    public IEnumerable<string> FilesRead =>
        ((string?[])[Reader.DataPath, Reader.MetadataPath, SetupPath]).OfType<string>();

    /// <summary>What was assumed or odd, one line each.</summary>
    public IReadOnlyList<string> Notes { get; }

    /// <summary>Opens a recording and builds its setup.</summary>
    /// <param name="path">NAME, NAME.sigmf-meta or NAME.sigmf-data.</param>
    /// <param name="parsed">The command line.</param>
    /// <param name="options">Options of <paramref name="parsed"/> that override the setup.</param>
    /// <exception cref="CommandFailure">The recording or the setup cannot be used.</exception>
    public static RecordingRun Open(string path, ParseResult parsed, SetupOptions options)
    {
        if (path.Length == 0) throw CommandFailure.Usage("RECORDING", "its name is empty; give NAME, NAME.sigmf-meta, NAME.sigmf-data or NAME.wav");
        string? setupPath = options.SetupPath(parsed) ?? SetupFile.TryFindBeside(path);
        Setup? file = setupPath is null ? null : SetupFile.Load(setupPath);
        int? bits = options.Bits(parsed) ?? file?.Scan.Bits;
        RecordingOptions how = new() { Bits = bits, Channels = options.Picked(parsed) };
        RecordingReader reader = RecordingReader.Open(path, how);
        try
        {
            List<string> notes = [.. reader.Notes];
            Setup start = Fit(PickedOf(file, how.Channels, reader), setupPath, reader, notes);
            Setup setup = options.Override(parsed, start, reader.ChannelCount);
            CheckScales(setup, setupPath);
            reader = OverVolts(path, how, reader, setup);
            if (!reader.BitsAreStated && GuessBits(reader, setup, notes) is { } guess)
            {
                setup = setup with { Scan = setup.Scan with { Bits = guess } };
            }

            if (setup.VerticalScaleOf(0).ImpliedUp() is null && !options.SaysUp(parsed) && file is null)
                notes.Add("Which way is up is assumed: codes rise. If the picture stands on its head, add --up codes-fall.");
            return new RecordingRun(path, reader, setup, setupPath, notes);
        }
        catch
        {
            reader.Dispose();
            throw;
        }
    }

    /// <summary>Feeds the recording from its start through an engine.</summary>
    /// <param name="engine">Built from <see cref="Setup"/>, or one derived from it.</param>
    /// <param name="cancel">Stops between two reads.</param>
    /// <param name="progress">Told how far the run is, or null.</param>
    /// <param name="untilScan">Index in the file at which the run stops without completing the sweep under way; null is the end.</param>
    /// <param name="pace">Times real time; null is as fast as it goes. Needs a scan rate.</param>
    public void Feed(SweepEngine engine, CancellationToken cancel, RunProgress? progress = null, long? untilScan = null, double? pace = null)
    {
        int scansPerRead = ScansPerRead;
        RunPace? clock = null;
        if (pace is { } times)
        {
            clock = new RunPace(Setup.Scan.ScanRateHz!.Value * times);
            scansPerRead = clock.ScansPerStep(ScansPerRead);
        }

        long end = untilScan ?? long.MaxValue, position = 0;
        RecordingMarks marks = new(Reader.Annotations);
        using ReadAhead ahead = new(Reader, scansPerRead, untilScan: end);
        while (true)
        {
            if (position >= end)
            {
                marks.Set(engine, position);
                return;
            }

            ScanPiece piece = ahead.Next(taker: 0, cancel);
            RecordingRead read = piece.Read;
            switch (read.Kind)
            {
                case RecordingReadKind.Scans:
                    marks.Process(engine, piece.Scans, position);
                    position += read.Scans;
                    break;
                case RecordingReadKind.Gap:
                    engine.Skip(read.LostScans, read.Cause);
                    break;
                case RecordingReadKind.Break:
                    marks.Break(engine, read.Cause);
                    break;
                case RecordingReadKind.End:
                    marks.Set(engine, position);
                    engine.Complete();
                    progress?.Done();
                    return;
                default:
                    throw new UnreachableException();
            }

            progress?.Report(position, Reader.ScanCount);
            clock?.Wait(position, cancel);
        }
    }

    public void Dispose() => Reader.Dispose();

    // The command line may give the volts that a setup file leaves out, so the file alone is not wrong.
    private static void CheckScales(Setup setup, string? setupPath)
    {
        int bare = setup.Verticals.Index().FirstOrDefault(v => v.Item is { Level.Count: > 0, Volts: null }, (Index: -1, Item: new VerticalScale())).Index;
        if (bare >= 0)
            throw CommandFailure.Usage(setupPath ?? "--level", $"verticals[{bare}].level belongs to volts and nothing says what volts the codes are; add verticals[{bare}].volts, or --vertical-volts");
        if (setupPath is null) return;

        // The command line's own scales were checked with their options: what is left to be wrong is the file's.
        foreach ((int vertical, VerticalScale scale) in setup.Verticals.Index())
        {
            if (scale.ImpliedUp() is { } implied && implied != scale.Up)
            {
                throw CommandFailure.Usage(setupPath, $"verticals[{vertical}].up is {WordNames.Of(scale.Up)} and contradicts the level scale, in which {WordNames.Of(implied)} "
                    + $"when the level rises; make it {WordNames.Of(implied)}, or correct volts or level");
            }

            try
            {
                _ = new VerticalConverter(scale, setup.Scan.FullCode);
            }
            catch (ArgumentException exception)
            {
                throw CommandFailure.Usage(setupPath, $"verticals[{vertical}]: {exception.Message}");
            }
        }
    }

    /// <summary>Words wider than a code are mapped over the volts that the setup states, not over what the recording happens to reach.</summary>
    private static RecordingReader OverVolts(string path, RecordingOptions how, RecordingReader reader, Setup setup)
    {
        if (!HasVolts(reader)) return reader;
        CodeVolts?[] found = [.. Enumerable.Range(0, reader.ChannelCount).Select(reader.VoltsOf)];
        if (found.Contains(null)) return reader;
        CodeVolts[] wanted = [.. found.Select(v => v!)];
        if (setup.RampVolts is { } ramp) wanted[setup.Scan.RampChannel] = ramp;
        IReadOnlyList<int> verticals = setup.Scan.VerticalChannels;
        for (int v = 0; v < verticals.Count; v++)
            if (setup.VerticalScaleOf(v).Volts is { } volts) wanted[verticals[v]] = volts;
        if (wanted.SequenceEqual(found)) return reader;
        reader.Dispose();

        // With ranges given no pass looks for words that are no number, and it is they that take one bit from a code.
        return RecordingReader.Open(path, how with { Ranges = wanted, Bits = reader.Bits });
    }

    // Whole numbers wider than a code are a converter's own counting; only fractions can be volts.
    private static bool HasVolts(RecordingReader reader) => reader.WordName.StartsWith("rf", StringComparison.Ordinal);

    /// <summary>Bits of a converter whose codes lie in 16-bit words, where nobody said how many and no scale depends on it; where one does, only a note.</summary>
    private static int? GuessBits(RecordingReader reader, Setup setup, List<string> notes)
    {
        if (reader.Bits != 16 || !reader.WordName.StartsWith("ru16", StringComparison.Ordinal)) return null;
        ushort[] scans = new ushort[ScansPerRead * reader.ChannelCount];
        int highest = 0;
        // A converter's range shows in the first minutes; the whole of a long recording is not read twice for it.
        while (reader.Position < MostScansForGuess && reader.Read(scans) is { Kind: not RecordingReadKind.End } read)
        {
            if (read.Kind != RecordingReadKind.Scans) continue;
            foreach (ushort code in scans.AsSpan(0, read.Scans * reader.ChannelCount)) highest = Math.Max(highest, code);
        }

        reader.Rewind();
        if (highest == 0) return null;
        int bits = UsualBits.FirstOrDefault(b => highest < 1 << b, 16);
        if (bits == 16) return null;
        if (setup.RampVolts is not null || setup.Verticals.Any(v => v.Volts is not null))
        {
            notes.Add(string.Create(CultureInfo.InvariantCulture,
                $"No code is above {highest:N0}, and volts are given for code 0 and for 65,535, the full code of 16 bits. If the converter has {bits} bits, all volts are wrong: add --bits {bits}."));
            return null;
        }

        notes.Add(string.Create(CultureInfo.InvariantCulture, $"No code is above {highest:N0}: the converter is taken to have {bits} bits. Say otherwise with --bits."));
        return bits;
    }

    /// <summary>What a setup of all channels says of those that were picked; a setup of other channels is left for <see cref="Fit"/> to refuse or take.</summary>
    private static Setup? PickedOf(Setup? file, IReadOnlyList<int> picked, RecordingReader reader)
    {
        if (file is null || picked.Count == 0 || file.Scan.ChannelCount != reader.FileChannelCount) return file;
        IReadOnlyList<int> verticals = file.Scan.VerticalChannels;
        return file with
        {
            Scan = file.Scan with { Roles = [.. picked.Select(channel => file.Scan.Roles[channel])] },
            Verticals = file.Verticals.Count == 0 ? [] :
            [
                .. picked.Where(verticals.Contains).Select(channel => file.VerticalScaleOf(verticals.Index().First(v => v.Item == channel).Index)),
            ],
        };
    }

    private static Setup Fit(Setup? file, string? setupPath, RecordingReader reader, List<string> notes)
    {
        if (file is not null)
        {
            if (file.Scan.ChannelCount != reader.ChannelCount)
            {
                throw CommandFailure.Usage(setupPath!, $"it describes {file.Scan.ChannelCount} channels but the recording has {reader.ChannelCount}; "
                    + "correct its channels or give another file with --setup");
            }

            return file with { Scan = file.Scan with { Bits = reader.Bits, ScanRateHz = reader.ScanRateHz ?? file.Scan.ScanRateHz } };
        }

        if (reader.ChannelCount < 2)
            throw CommandFailure.Usage(reader.DataPath, "it has 1 channel; a ramp and a vertical are needed, so record both lines in one recording");
        if (reader.ChannelCount > ScanFormat.MaxChannels)
        {
            throw CommandFailure.Usage(reader.DataPath, $"it has {reader.ChannelCount} channels and at most {ScanFormat.MaxChannels} are read; "
                + "pick the ramp and the verticals with --channels, such as --channels 0,3");
        }

        ChannelRole[] roles = [.. Enumerable.Range(0, reader.ChannelCount).Select(c =>
            c switch { 0 => ChannelRole.Ramp, 1 => ChannelRole.Vertical, _ => ChannelRole.Auxiliary })];
        Setup setup = new() { Scan = new ScanFormat { Roles = roles, Bits = reader.Bits, ScanRateHz = reader.ScanRateHz } };
        if (reader.VoltsOf(0) is not { } rampVolts || reader.VoltsOf(1) is not { } verticalVolts) return setup;
        if (!HasVolts(reader))
        {
            notes.Add($"The recording's words are {reader.WordName}; what each channel reaches is taken as its range of codes.");
            return setup;
        }

        notes.Add($"The recording's words are {reader.WordName}; they are taken as volts.");
        return setup with { RampVolts = rampVolts, Verticals = [new VerticalScale { Volts = verticalVolts }] };
    }
}
