using System.Collections.Concurrent;
using Acquire.Capture;
using Acquire.Sources;

// Scans from wherever an application gets them: whatever fills the queue, in whole scans.
internal sealed class QueueSource(BlockingCollection<ushort[]> blocks, StreamDescription description) : IScanSource
{
    private int _hasRun;

    public string Name => "queue:";

    // Whoever fills the queue waits while it is full. For a device that does not, count what it lost and call receiver.Skip.
    public bool CanWait => true;

    public void Run(IScanReceiver receiver, CancellationToken stop)
    {
        if (Interlocked.Exchange(ref _hasRun, 1) != 0) throw new InvalidOperationException("queue: has run before; make another source.");
        if (stop.IsCancellationRequested) return;
        receiver.Describe(description);
        try
        {
            foreach (ushort[] scans in blocks.GetConsumingEnumerable(stop)) receiver.Take(scans);
        }
        catch (OperationCanceledException) when (stop.IsCancellationRequested)
        {
            // Stopped: a run that is stopped simply ends.
        }
    }
}
