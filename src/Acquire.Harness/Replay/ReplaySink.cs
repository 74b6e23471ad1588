using Acquire.Harness.Runs;
using Acquire.Sweeps;
using Acquire.Traces;

namespace Acquire.Harness.Replay;

/// <summary>Hands each sweep to whatever was asked for.</summary>
internal sealed class ReplaySink : ISweepSink
{
    private const int MostListed = 20;
    private readonly List<SweepInfo> _listed = [];

    /// <summary>Gets every sweep as it ends, or null.</summary>
    public SweepWriting? Writing { get; init; }

    /// <summary>Keeps the sweeps that are measured or drawn, or null.</summary>
    public SweepPicker? Picker { get; init; }

    /// <summary>Keeps the last sweeps as rows, or null.</summary>
    public SweepHistory? History { get; init; }

    /// <summary>Index of the vertical whose history is kept; 0 is the first.</summary>
    public int Vertical { get; init; }

    /// <summary>Sweeps seen.</summary>
    public long Sweeps { get; private set; }

    /// <summary>Of these, complete ones.</summary>
    public long CompleteSweeps { get; private set; }

    /// <summary>The first sweeps, for a table.</summary>
    public IReadOnlyList<SweepInfo> Listed => _listed;

    public void SweepEnded(in SweepView sweep)
    {
        Sweeps++;
        if (sweep.Info.Complete) CompleteSweeps++;
        if (_listed.Count < MostListed) _listed.Add(sweep.Info);
        Writing?.Add(sweep);
        Picker?.Offer(sweep);
        History?.Take(sweep.Info, sweep.Verticals[Vertical]);
    }
}
