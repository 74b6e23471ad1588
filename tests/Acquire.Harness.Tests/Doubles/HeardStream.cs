using Acquire.Capture;

namespace Acquire.Harness.Tests.Doubles;

/// <summary>Keeps everything that a receiver is told.</summary>
internal sealed class HeardStream : IScanReceiver
{
    private readonly List<ushort> _words = [];

    public ushort[] Words => [.. _words];

    public List<string> Texts { get; } = [];

    public StreamDescription? Description { get; private set; }

    public long Lost { get; private set; }

    public long Breaks { get; private set; }

    public long Scans => _words.Count / (Description?.Scan.ChannelCount ?? 2);

    public void Describe(StreamDescription description) => Description = description;

    public void Take(ReadOnlySpan<ushort> scans) => _words.AddRange(scans);

    public void Skip(long lostScans, GapCause cause) => Lost += lostScans;

    public void Break(GapCause cause, long atLeast) => Breaks++;

    public void Mark(long position, ushort word)
    {
        // Nothing here sends any.
    }

    public void Say(string text) => Texts.Add(text);
}
