using Acquire.Columns;
using Acquire.Sweeps;

namespace Acquire.Harness.Runs;

/// <summary>A copy of one ended sweep that outlives the engine's view.</summary>
internal sealed class KeptSweep
{
    private readonly ColumnStatistics[] _verticals;

    /// <summary>Allocates room for a sweep.</summary>
    /// <param name="setup">Says how many columns, verticals and domains there are.</param>
    public KeptSweep(Setup setup)
    {
        _verticals = new ColumnStatistics[setup.Scan.VerticalChannels.Count];
        for (int vertical = 0; vertical < _verticals.Length; vertical++)
            _verticals[vertical] = new ColumnStatistics(setup.Columns.ColumnCount, setup.Columns.Domains);
    }

    /// <summary>What is known of the sweep.</summary>
    public SweepInfo Info { get; private set; }

    /// <summary>Where its columns lie on the ramp.</summary>
    public ColumnAxis? Axis { get; private set; }

    /// <summary>Columns of each vertical.</summary>
    public IReadOnlyList<ColumnStatistics> Verticals => _verticals;

    /// <summary>Copies a sweep over whatever was kept before.</summary>
    /// <param name="sweep">The engine's view.</param>
    public void Take(in SweepView sweep)
    {
        Info = sweep.Info;
        Axis = sweep.Axis;
        for (int vertical = 0; vertical < _verticals.Length; vertical++)
            _verticals[vertical].CopyFrom(sweep.Verticals[vertical]);
    }

    /// <summary>The kept sweep as consumers of the engine see one.</summary>
    public SweepView AsView() => new(Info, Axis!, _verticals);
}
