using Acquire.Sweeps;

namespace Acquire.Sources.Synthetic;

/// <summary>One sweep, or the piece of a sweep between two losses, as it really was.</summary>
public sealed record TrueSweep
{
    /// <summary>Number in the list, from 0 in the order of ending.</summary>
    public required long Number { get; init; }

    /// <summary>Number of the sweep as the instrument counts, lost ones included; two pieces of one sweep share it.</summary>
    public required long InstrumentSweep { get; init; }

    /// <summary>Index of its first scan among delivered scans.</summary>
    public required long StartScan { get; init; }

    /// <summary>One past the index of its last scan.</summary>
    public required long EndScan { get; init; }

    /// <summary>Position of its first scan, lost scans counted.</summary>
    public required long StartPosition { get; init; }

    /// <summary>One past the position of its last scan.</summary>
    public required long EndPosition { get; init; }

    /// <summary>Whether every scan from its start edge to its end edge was delivered; false for an aborted sweep.</summary>
    public required bool Complete { get; init; }

    /// <summary>Why it starts where it starts. A loss or the stream's begin directly before its first scan counts as the reason even where
    /// nothing of the sweep itself is missing, since no observer could tell.</summary>
    public required SweepStart StartReason { get; init; }

    /// <summary>Why it ends where it ends; a loss or the stream's end directly behind its last scan counts likewise.</summary>
    public required SweepEnd EndReason { get; init; }

    /// <summary>Rising or falling codes.</summary>
    public required RampDirection Direction { get; init; }

    /// <summary>Screen fraction of its first scan.</summary>
    public required double StartFraction { get; init; }

    /// <summary>Screen fraction of its last scan.</summary>
    public required double EndFraction { get; init; }

    /// <summary>Scans at its start on which the line stands at a rail of the converter: there no observer sees the ramp move.</summary>
    public required long StartRailScans { get; init; }

    /// <summary>Scans at its end on which the line stands at a rail of the converter.</summary>
    public required long EndRailScans { get; init; }

    /// <summary>Scans of it under which the beam was off.</summary>
    public required long BlankedScans { get; init; }
}
