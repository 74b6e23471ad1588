namespace Acquire.Bench.Speed;

/// <summary>Counts what share of scans was placed how.</summary>
internal sealed class PlacementShare : ISweepSink
{
    private long _inColumns;
    private long _fitted;

    public double Fitted => _inColumns == 0 ? 0 : (double)_fitted / _inColumns;

    public void SweepEnded(in SweepView sweep)
    {
        _inColumns += sweep.Info.ScansInColumns;
        _fitted += sweep.Info.ScansFitted;
    }
}
