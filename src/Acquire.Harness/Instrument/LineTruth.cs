using System.Text.Json;
using Acquire.Link;

namespace Acquire.Harness.Instrument;

/// <summary>What was really sent, and what the line did to it.</summary>
internal sealed class LineTruth
{
    /// <summary>Most damaged frames that are listed; all are counted.</summary>
    public const int MostListed = 200_000;

    private readonly List<DamagedFrame> _damaged = [];
    private readonly long[] _faults = new long[Enum.GetValues<LineFault>().Length];
    private readonly SortedDictionary<LinkFrameKind, long> _frames = [];

    /// <summary>Bytes that left the line.</summary>
    public long Bytes { get; set; }

    /// <summary>Scans given to the line.</summary>
    public long Scans { get; private set; }

    /// <summary>Scans in frames that the line damaged.</summary>
    public long ScansDamaged { get; private set; }

    /// <summary>Scans lost by the device itself, since nobody took them in time.</summary>
    public long ScansOverrun { get; set; }

    /// <summary>Scans that passed while nobody had the line open.</summary>
    public long ScansUnheard { get; set; }

    /// <summary>Frames that the line damaged.</summary>
    public long FramesDamaged { get; private set; }

    /// <summary>Frames given to the line.</summary>
    public long Frames => _frames.Values.Sum();

    /// <summary>How often a fault happened.</summary>
    public long CountOf(LineFault fault) => _faults[(int)fault];

    /// <summary>A fault happened.</summary>
    public void Count(LineFault fault) => _faults[(int)fault]++;

    /// <summary>A frame was given to the line.</summary>
    public void Sent(in SentFrame frame)
    {
        _frames[frame.Kind] = _frames.GetValueOrDefault(frame.Kind) + 1;
        Scans += frame.Scans;
    }

    /// <summary>A frame did not get through whole, or its delimiters did not.</summary>
    /// <param name="frame">The frame.</param>
    /// <param name="offset">Offset in the bytes that left the line at which it began.</param>
    /// <param name="faults">A bit for each fault.</param>
    public void Damaged(in SentFrame frame, long offset, int faults)
    {
        FramesDamaged++;
        ScansDamaged += frame.Scans;
        if (_damaged.Count < MostListed) _damaged.Add(new DamagedFrame(frame, offset, faults));
    }

    /// <summary>Writes the truth as one JSON object.</summary>
    /// <param name="json">Gets it.</param>
    /// <param name="faults">What the line was told to do.</param>
    public void WriteJson(Utf8JsonWriter json, LineFaultOptions faults)
    {
        json.WriteStartObject();
        json.WriteNumber("bytes", Bytes);
        json.WriteNumber("scans", Scans);
        json.WriteNumber("scansInDamagedFrames", ScansDamaged);
        json.WriteNumber("scansOverrun", ScansOverrun);
        json.WriteNumber("scansUnheard", ScansUnheard);
        json.WriteNumber("seed", faults.Seed);
        json.WriteStartObject("frames");
        foreach ((LinkFrameKind kind, long count) in _frames) json.WriteNumber(LinkWords.Of(kind), count);
        json.WriteEndObject();
        json.WriteStartObject("faults");
        foreach (LineFault fault in Enum.GetValues<LineFault>())
            if (faults.RateOf(fault) > 0) json.WriteNumber(LineFaultOptions.WordOf(fault), CountOf(fault));
        json.WriteEndObject();
        json.WriteStartArray("damagedFrames");
        foreach (DamagedFrame damaged in _damaged) Write(json, damaged);
        json.WriteEndArray();
        json.WriteNumber("damagedFramesLeftOut", FramesDamaged - _damaged.Count);
        json.WriteEndObject();
    }

    private static void Write(Utf8JsonWriter json, in DamagedFrame damaged)
    {
        json.WriteStartObject();
        json.WriteNumber("offset", damaged.Offset);
        json.WriteString("kind", LinkWords.Of(damaged.Frame.Kind));
        json.WriteNumber("run", damaged.Frame.Run);
        json.WriteNumber("sequence", damaged.Frame.Sequence);
        json.WriteNumber("position", damaged.Frame.Position);
        json.WriteNumber("scans", damaged.Frame.Scans);
        json.WriteStartArray("faults");
        foreach (LineFault fault in Enum.GetValues<LineFault>())
            if ((damaged.Faults & (1 << (int)fault)) != 0) json.WriteStringValue(LineFaultOptions.WordOf(fault));
        json.WriteEndArray();
        json.WriteEndObject();
    }

    private readonly record struct DamagedFrame(SentFrame Frame, long Offset, int Faults);
}
