namespace Acquire.Sweeps;

/// <summary>What is known of one sweep when it has ended.</summary>
public readonly record struct SweepInfo
{
    /// <summary>Number of the sweep, from 0 in the order of ending.</summary>
    public long Number { get; init; }

    /// <summary>Index of its first scan among the scans that were processed (in a recording: index in the file).</summary>
    public long StartScan { get; init; }

    /// <summary>One past the index of its last scan.</summary>
    public long EndScan { get; init; }

    /// <summary>Position of its first scan in the stream, lost scans counted.</summary>
    public long StartPosition { get; init; }

    /// <summary>One past the position of its last scan, lost scans counted.</summary>
    public long EndPosition { get; init; }

    /// <summary>Whether the ramp ran from its start edge to its end edge with no gap.</summary>
    public bool Complete { get; init; }

    /// <summary>Why it starts where it starts.</summary>
    public SweepStart StartReason { get; init; }

    /// <summary>Why it ends where it ends.</summary>
    public SweepEnd EndReason { get; init; }

    /// <summary>Rising or falling codes; never auto or both.</summary>
    public RampDirection Direction { get; init; }

    /// <summary>Scans that went into columns.</summary>
    public long ScansInColumns { get; init; }

    /// <summary>Of these, scans placed by the fitted course; the others were placed directly.</summary>
    public long ScansFitted { get; init; }

    /// <summary>Those of <see cref="ScansInColumns"/> that hardware may have overwritten while they were read.</summary>
    public long SuspectScans { get; init; }

    /// <summary>Columns at the end that the video delay left without readings.</summary>
    public int DelayTailColumns { get; init; }

    /// <summary>Columns at the start whose readings fall in the settling time after a retrace.</summary>
    public int SettlingColumns { get; init; }

    /// <summary>Number of the axis that its columns lie on; a new axis starts hold, average and history anew.</summary>
    public int AxisNumber { get; init; }

    /// <summary>Number of the section: it rises with each mark and each break that ends one, and what is kept across sweeps starts anew.</summary>
    public int Section { get; init; }

    /// <summary>Word of the last mark, or null: there was none.</summary>
    public ushort? MarkWord { get; init; }
}
