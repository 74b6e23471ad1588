using Acquire.Link;

namespace Acquire.Harness.Capturing;

/// <summary>Notices that the device says that it stops.</summary>
/// <param name="ended">Called when it does.</param>
internal sealed class EndWatch(Action ended) : ILinkObserver
{
    /// <summary>Whether it has said so.</summary>
    public bool Ended { get; private set; }

    /// <inheritdoc/>
    public void Saw(in LinkFrameReport report, ReadOnlySpan<byte> encoded)
    {
        if (report is not { Verdict: LinkVerdict.Accepted, Header.Kind: LinkFrameKind.End }) return;
        Ended = true;
        ended();
    }
}
