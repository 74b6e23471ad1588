using Acquire.Capture;

namespace Acquire.Sources;

/// <summary>Where scans come from: a device, a connection, a file, a bench of numbers. Small enough to write one of your own.</summary>
/// <remarks>
/// A source is built without touching what it names, runs once, and needs no disposal: <see cref="Run"/> opens and closes. It starts no thread of its own;
/// the receiver is called on the thread that called <see cref="Run"/>, one call at a time.
/// </remarks>
public interface IScanSource
{
    /// <summary>What the source is called in messages.</summary>
    string Name { get; }

    /// <summary>Whether nothing is lost while the receiver takes its time: a recording waits, an instrument does not.</summary>
    bool CanWait { get; }

    /// <summary>Times that a connection was lost and made anew since <see cref="Run"/> began; any thread.</summary>
    long Reconnections => 0;

    /// <summary>Gives everything to a receiver; returns when the source has ended or was stopped.</summary>
    /// <param name="receiver">Called in stream order on this thread. What it throws passes through, after the source has closed what it had opened.</param>
    /// <param name="stop">Ends the run within 100 ms, however the source waits at that moment; a call of the receiver under way is waited for. A stopped run returns, it does not throw; one that is stopped before it begins opens nothing.</param>
    /// <exception cref="SourceException">The source could not be opened, or failed; everything that came before was given to the receiver.</exception>
    /// <exception cref="InvalidOperationException">It has run before; make another source.</exception>
    void Run(IScanReceiver receiver, CancellationToken stop);
}
