using System.Diagnostics.CodeAnalysis;
using System.Threading.Channels;

namespace Acquire.Sources.Sessions;

/// <summary>The consumer's end of a session's sweeps, which gives nothing more once what waits is discarded.</summary>
/// <remarks>Otherwise a consumer that reads while the session is disposed would get a sweep behind one that was thrown away, with no word of it.</remarks>
/// <param name="waiting">What waits.</param>
internal sealed class SweepReader(ChannelReader<SweepReport> waiting) : ChannelReader<SweepReport>
{
    private readonly Lock _gate = new();
    private bool _discarded;

    public override Task Completion => waiting.Completion;

    public override bool CanCount => waiting.CanCount;

    public override int Count => waiting.Count;

    public override bool TryRead([MaybeNullWhen(false)] out SweepReport item)
    {
        lock (_gate)
        {
            item = null;
            return !_discarded && waiting.TryRead(out item);
        }
    }

    public override ValueTask<bool> WaitToReadAsync(CancellationToken cancellationToken = default) => waiting.WaitToReadAsync(cancellationToken);

    /// <summary>Gives back what nobody will read; nothing is read from here on.</summary>
    public void Discard()
    {
        lock (_gate) _discarded = true;
        while (waiting.TryRead(out SweepReport? report)) report.Dispose();
    }
}
