using Acquire.Capture;

namespace Acquire.Sources.Tests.Doubles;

/// <summary>Keeps everything that a receiver is told.</summary>
internal sealed class HeardStream : IScanReceiver
{
    private readonly List<ushort> _words = [];

    public ushort[] Words => [.. _words];

    /// <summary>Everything but scans, each with the scans heard before it.</summary>
    public List<string> Events { get; } = [];

    public StreamDescription? Description { get; private set; }

    public Action? BeforeTake { get; init; }

    public void Describe(StreamDescription description) => Description = description;

    public void Take(ReadOnlySpan<ushort> scans)
    {
        BeforeTake?.Invoke();
        _words.AddRange(scans);
    }

    public void Skip(long lostScans, GapCause cause) => Note($"skip {lostScans} {cause}");

    public void Break(GapCause cause, long atLeast) => Note($"break {cause} {atLeast}");

    public void Mark(long position, ushort word) => Note($"mark {position} {word}");

    public void Say(string text) => Note($"say {text}");

    private void Note(string what) => Events.Add($"{_words.Count / (Description?.Scan.ChannelCount ?? 2)} {what}");
}
