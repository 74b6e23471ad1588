using Acquire.Capture;

namespace Acquire.Harness.Inspect.Link;

/// <summary>Takes scans and does nothing with them: where only the frames matter.</summary>
internal sealed class SilentReceiver : IScanReceiver
{
    public void Describe(StreamDescription description)
    {
        // Only the frames matter here, and in all that follows.
    }

    public void Take(ReadOnlySpan<ushort> scans)
    {
        // As above.
    }

    public void Skip(long lostScans, GapCause cause)
    {
        // As above.
    }

    public void Break(GapCause cause, long atLeast)
    {
        // As above.
    }

    public void Mark(long position, ushort word)
    {
        // As above.
    }

    public void Say(string text)
    {
        // As above.
    }
}
