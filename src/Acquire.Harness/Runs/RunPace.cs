using System.Diagnostics;

namespace Acquire.Harness.Runs;

/// <summary>Holds a run back to a number of scans per second of wall time.</summary>
/// <param name="scansPerSecond">Positive and finite.</param>
internal sealed class RunPace(double scansPerSecond)
{
    private readonly long _start = Stopwatch.GetTimestamp();

    /// <summary>Scans per read, so that a picture moves 25 times a second.</summary>
    /// <param name="most">Upper limit.</param>
    public int ScansPerStep(int most) => (int)Math.Clamp(scansPerSecond / 25, 1, most);

    /// <summary>Waits until the scans processed so far are due.</summary>
    /// <param name="scans">Scans processed.</param>
    /// <param name="cancel">Ends the wait.</param>
    public void Wait(long scans, CancellationToken cancel)
    {
        TimeSpan ahead = TimeSpan.FromSeconds(Math.Min(scans / scansPerSecond, 1e9)) - Stopwatch.GetElapsedTime(_start);
        while (ahead > TimeSpan.Zero)
        {
            // A wait handle takes 24 days at most.
            if (cancel.WaitHandle.WaitOne(ahead < TimeSpan.FromDays(1) ? ahead : TimeSpan.FromDays(1))) cancel.ThrowIfCancellationRequested();
            ahead = TimeSpan.FromSeconds(Math.Min(scans / scansPerSecond, 1e9)) - Stopwatch.GetElapsedTime(_start);
        }
    }
}
