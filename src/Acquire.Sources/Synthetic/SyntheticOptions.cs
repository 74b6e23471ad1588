using Acquire.Capture;

namespace Acquire.Sources.Synthetic;

/// <summary>Everything that decides a synthetic bench's signals. The same options give the same words on every runtime.</summary>
public sealed record SyntheticOptions
{
    /// <summary>Seed of all randomness; every effect has a row of random numbers of its own. Default 1.</summary>
    public ulong Seed { get; init; } = 1;

    /// <summary>Scans per second; default 100,000.</summary>
    public double ScanRateHz { get; init; } = 100_000;

    /// <summary>Bits of the converter, 1 to 16; default 12.</summary>
    public int Bits { get; init; } = 12;

    /// <summary>Role of each channel, in scan order; default ramp, vertical. An auxiliary channel counts the scans.</summary>
    public IReadOnlyList<ChannelRole> Roles { get; init; } = [ChannelRole.Ramp, ChannelRole.Vertical];

    /// <summary>Delivered scans after which the stream ends; null is no such limit. With several limits the first one reached ends it; with none it is endless.</summary>
    public long? Scans { get; init; }

    /// <summary>Seconds after which the stream ends, lost scans counted; null is no such limit.</summary>
    public double? DurationSeconds { get; init; }

    /// <summary>Sweeps of the instrument, with retrace and rest, after which the stream ends; null is no such limit. The turn in which it begins is one of them, however little of it is left.</summary>
    public long? Sweeps { get; init; }

    /// <summary>Frequency at screen fraction 0, in hertz; default 5,000.</summary>
    public double StartHz { get; init; } = 5_000;

    /// <summary>Frequency at screen fraction 1, in hertz; default 55,000.</summary>
    public double EndHz { get; init; } = 55_000;

    /// <summary>The ramp channel.</summary>
    public RampModel Ramp { get; init; } = new();

    /// <summary>How the instrument times its sweeps.</summary>
    public SweepTiming Sweep { get; init; } = new();

    /// <summary>One entry per vertical in channel order; missing ones are like the last. Default one through connection.</summary>
    public IReadOnlyList<VerticalModel> Verticals { get; init; } = [new()];

    /// <summary>The blanking channel, where <see cref="Roles"/> has one.</summary>
    public BlankingModel Blanking { get; init; } = new();

    /// <summary>The converter.</summary>
    public ConverterModel Converter { get; init; } = new();

    /// <summary>What is lost on the way.</summary>
    public LossModel Loss { get; init; } = new();

    /// <summary>Whether the truth lists sweeps, gaps and breaks; off for a stream that is served for days. Counts are always kept. Default true.</summary>
    public bool KeepTruth { get; init; } = true;

    /// <summary>The layout of a scan.</summary>
    public ScanFormat Format => new() { Roles = Roles, Bits = Bits, ScanRateHz = ScanRateHz };

    /// <summary>Model of one vertical.</summary>
    /// <param name="vertical">0 is the first vertical in channel order.</param>
    public VerticalModel VerticalOf(int vertical) => Verticals[Math.Min(vertical, Verticals.Count - 1)];

    /// <summary>Throws when a value is outside its documented range.</summary>
    /// <exception cref="ArgumentException">A value is out of range; the message gives value, rule and fix.</exception>
    public void Validate()
    {
        Format.Validate();
        Check.Positive(ScanRateHz, "ScanRateHz");
        if (Scans is { } scans) Check.Range(scans, 0, long.MaxValue, "Scans", "a number of scans");
        if (DurationSeconds is { } seconds) Check.Range(seconds, 0, 1e15 / ScanRateHz, "DurationSeconds", "in seconds");
        if (Sweeps is { } sweeps) Check.Range(sweeps, 0, long.MaxValue, "Sweeps", "a number of sweeps");
        Check.Finite(StartHz, "StartHz");
        Check.Finite(EndHz, "EndHz");
        if (Verticals.Count == 0) throw new ArgumentException("Verticals is empty; give at least one model.");
        Ramp.Validate();
        Sweep.Validate();
        for (int v = 0; v < Verticals.Count; v++) Verticals[v].Validate(v);
        Blanking.Validate();
        Converter.Validate(Bits);
        Loss.Validate();
    }
}
