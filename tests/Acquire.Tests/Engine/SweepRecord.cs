using Acquire.Columns;
using Acquire.Scales;
using Acquire.Sweeps;

namespace Acquire.Tests.Engine;

/// <summary>Keeps every sweep that an engine delivers.</summary>
internal sealed class SweepRecord : ISweepSink
{
    private readonly bool _keepsColumns;

    public SweepRecord(bool keepsColumns = true) => _keepsColumns = keepsColumns;

    /// <summary>One delivered sweep.</summary>
    /// <param name="Info">As delivered.</param>
    /// <param name="Axis">As delivered.</param>
    /// <param name="Hash">Of the columns of all verticals.</param>
    /// <param name="Verticals">Copies, or empty.</param>
    internal sealed record Kept(SweepInfo Info, ColumnAxis Axis, ulong Hash, ColumnStatistics[] Verticals);

    public List<Kept> Sweeps { get; } = [];

    public Action? OnSweep { get; set; }

    public void SweepEnded(in SweepView sweep)
    {
        ulong hash = StateHash.Start;
        foreach (ColumnStatistics columns in sweep.Verticals) hash = StateHash.Of(columns, hash);
        List<ColumnStatistics> copies = [];
        if (_keepsColumns)
        {
            foreach (ColumnStatistics columns in sweep.Verticals)
            {
                var copy = new ColumnStatistics(columns.ColumnCount, [.. Enum.GetValues<AveragingDomain>().Where(columns.Has)]);
                copy.CopyFrom(columns);
                copies.Add(copy);
            }
        }

        Sweeps.Add(new Kept(sweep.Info, sweep.Axis, hash, [.. copies]));
        OnSweep?.Invoke();
    }
}
