using Acquire.Capture;

namespace Acquire.Harness.Inspect.Link;

/// <summary>Walks the scans in a file of link bytes. Scans of other channels than the first ones are passed over as a break.</summary>
/// <param name="file">Open file.</param>
/// <param name="channels">Channels of the scans that are shown.</param>
internal sealed class LinkWalk(LinkFile file, int channels) : IScanWalk
{
    /// <inheritdoc/>
    public void Walk(IScanVisitor visitor, CancellationToken cancel)
    {
        Guide guide = new(visitor, channels);
        file.Decode(guide, observer: null, () => guide.GoesOn, cancel);
    }

    private sealed class Guide(IScanVisitor visitor, int channels) : IScanReceiver
    {
        private bool _others;

        public bool GoesOn { get; private set; } = true;

        public void Describe(StreamDescription description)
        {
            bool others = description.Scan.ChannelCount != channels;
            if (others && !_others) Show(visitor.Broken(GapCause.Unknown));
            _others = others;
        }

        public void Take(ReadOnlySpan<ushort> scans)
        {
            if (GoesOn && !_others) Show(visitor.Scans(scans));
        }

        public void Skip(long lostScans, GapCause cause)
        {
            if (GoesOn && !_others) Show(visitor.Lost(lostScans, cause));
        }

        public void Break(GapCause cause, long atLeast)
        {
            if (GoesOn && !_others) Show(visitor.Broken(cause));
        }

        public void Mark(long position, ushort word)
        {
            // What looks at scans does not look at marks.
        }

        public void Say(string text)
        {
            // As above.
        }

        private void Show(bool goesOn) => GoesOn &= goesOn;
    }
}
