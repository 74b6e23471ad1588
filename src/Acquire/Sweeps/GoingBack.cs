namespace Acquire.Sweeps;

/// <summary>Bounds how often scans are gone through again: every new scan earns some steps, every step back costs one.</summary>
/// <remarks>G1  Steps in all are at most (1 + earned) * scans + most, whatever the ramp does.</remarks>
/// <param name="earned">Steps that a new scan earns.</param>
/// <param name="most">Steps that may be saved up; so many there are at first.</param>
internal sealed class GoingBack(int earned, long most)
{
    private readonly long _most = most;
    private long _steps = most;

    /// <summary>Scans were gone through for the first time.</summary>
    public void Earn(int scans = 1) => _steps = Math.Min(_steps + ((long)earned * scans), _most);

    /// <summary>Takes the steps for going back, if there are enough of them.</summary>
    public bool TryTake(long scans)
    {
        if (scans > _steps) return false;
        _steps -= scans;
        return true;
    }
}
