using Acquire.Sweeps;

namespace Acquire.Traces;

/// <summary>One sweep in a <see cref="SweepHistory"/>: a view, valid until the history takes another sweep or is cleared.</summary>
public readonly ref struct HistoryRow
{
    internal HistoryRow(in SweepInfo info, ReadOnlySpan<double> values, int section, bool startsSection)
    {
        Info = info;
        Values = values;
        Section = section;
        StartsSection = startsSection;
    }

    /// <summary>What is known of the sweep.</summary>
    public SweepInfo Info { get; }

    /// <summary>Values in the history's choice, column 0 first; NaN where unfilled or suspect.</summary>
    public ReadOnlySpan<double> Values { get; }

    /// <summary>Number of its section, from 0: sweeps of one section have the same axis and settings and may be compared.</summary>
    public int Section { get; }

    /// <summary>It is the first sweep of its section.</summary>
    public bool StartsSection { get; }
}
