namespace Acquire.Bench;

/// <summary>Takes sweeps and keeps nothing but their count.</summary>
internal sealed class NoSink : ISweepSink
{
    public long Sweeps { get; private set; }

    public void SweepEnded(in SweepView sweep) => Sweeps++;
}
