using System.Text.Json;

namespace Acquire.Sources.Synthetic;

/// <summary>What a synthetic bench really did. Grows as the bench is read; complete when the read gave <see cref="SyntheticReadKind.End"/>.</summary>
/// <remarks>Owned by the bench and changed by its reads; not thread-safe. The identity Scans = InColumns + Overscan + Retrace + Rest +
/// Blanked + Unassigned holds after every read.</remarks>
public sealed class SyntheticTruth
{
    internal List<TrueSweep> SweepList { get; } = new(4_096);

    internal List<TrueGap> GapList { get; } = new(256);

    internal List<TrueGap> BreakList { get; } = new(256);

    internal SyntheticTruth(SyntheticOptions options) => Options = options;

    /// <summary>The options that the bench was made with.</summary>
    public SyntheticOptions Options { get; }

    /// <summary>Sweeps that have ended, in order; the one under way is not in it. Empty where <see cref="SyntheticOptions.KeepTruth"/> is off.</summary>
    public IReadOnlyList<TrueSweep> Sweeps => SweepList;

    /// <summary>Gaps, in order.</summary>
    public IReadOnlyList<TrueGap> Gaps => GapList;

    /// <summary>Breaks, in order.</summary>
    public IReadOnlyList<TrueGap> Breaks => BreakList;

    /// <summary>Sweeps that have ended, counted also where they are not listed.</summary>
    public long SweepCount { get; internal set; }

    /// <summary>Delivered scans.</summary>
    public long Scans { get; internal set; }

    /// <summary>Scans of sweeps on the screen, edges included, beam on; in <see cref="RampKind.Manual"/> all scans on the screen.</summary>
    public long InColumns { get; internal set; }

    /// <summary>Scans of sweeps beside the screen.</summary>
    public long Overscan { get; internal set; }

    /// <summary>Scans of flybacks.</summary>
    public long Retrace { get; internal set; }

    /// <summary>Scans of rests.</summary>
    public long Rest { get; internal set; }

    /// <summary>Scans of blanked pauses inside sweeps.</summary>
    public long Blanked { get; internal set; }

    /// <summary>Scans of a ramp channel without a ramp.</summary>
    public long Unassigned { get; internal set; }

    /// <summary>Scans under which the beam was off, whatever the ramp did; counted in the other classes too.</summary>
    public long BeamOff { get; internal set; }

    /// <summary>Scans lost in gaps.</summary>
    public long Lost { get; internal set; }

    /// <summary>Breaks, counted also where they are not listed.</summary>
    public long BreakCount { get; internal set; }

    /// <summary>Gaps, counted also where they are not listed.</summary>
    public long GapCount { get; internal set; }

    /// <summary>Whether the stream has ended.</summary>
    public bool Ended { get; internal set; }

    /// <summary>Writes the truth as one JSON object with the member names of <c>acquire inspect --json</c> where they mean the same.</summary>
    /// <param name="writer">Where to; not flushed.</param>
    public void WriteJson(Utf8JsonWriter writer) => TruthJson.Write(writer, this);
}
