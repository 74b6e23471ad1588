namespace Acquire.Traces;

/// <summary>What an issue between a reading and a reference is about.</summary>
public enum ReferenceIssueKind
{
    /// <summary>The values cannot be normalised at all: codes, or volts of a logarithmic vertical.</summary>
    Unit,

    /// <summary>Detector, unit or averaging domain.</summary>
    Choice,

    /// <summary>Number of columns, or the end at which they start.</summary>
    Grid,

    /// <summary>Edges on the ramp.</summary>
    Edges,

    /// <summary>Frequencies or times along the axis.</summary>
    SweepAxis,

    /// <summary>The vertical's scale.</summary>
    Scale,

    /// <summary>How scans found their columns.</summary>
    Placement,

    /// <summary>The instrument itself.</summary>
    Instrument,

    /// <summary>Centre frequency.</summary>
    Centre,

    /// <summary>Span.</summary>
    Span,

    /// <summary>Resolution bandwidth.</summary>
    ResolutionBandwidth,

    /// <summary>Video bandwidth.</summary>
    VideoBandwidth,

    /// <summary>Reference level.</summary>
    ReferenceLevel,

    /// <summary>Input attenuation.</summary>
    Attenuation,

    /// <summary>Sweep time as set.</summary>
    SweepTime,

    /// <summary>Something that the owner filed beside the settings.</summary>
    More,

    /// <summary>Something is not stated on one side or on both.</summary>
    Unknown,
}
