using Acquire.Capture;

namespace Acquire.Link.Tests.Doubles;

/// <summary>Keeps everything a decoder hands on, one line of text for each thing, in order: scans as "1,2", losses in words.</summary>
internal sealed class HeardScans : IScanReceiver
{
    private int _channels = 2;

    public List<string> All { get; } = [];

    public List<StreamDescription> Descriptions { get; } = [];

    public long Scans { get; private set; }

    public void Describe(StreamDescription description)
    {
        Descriptions.Add(description);
        _channels = description.Scan.ChannelCount;
    }

    public void Take(ReadOnlySpan<ushort> scans)
    {
        Assert.True(scans.Length % _channels == 0, $"{scans.Length} words are not whole scans of {_channels} channels.");
        for (int i = 0; i < scans.Length; i += _channels)
            All.Add(string.Join(',', scans.Slice(i, _channels).ToArray()));
        Scans += scans.Length / _channels;
    }

    public void Skip(long lostScans, GapCause cause) => All.Add($"gap {lostScans} {cause}");

    public void Break(GapCause cause, long atLeast) => All.Add($"break {cause} at least {atLeast}");

    public void Mark(long position, ushort word) => All.Add($"mark {position} {word}");

    public void Say(string text) => All.Add($"say {text}");

    public override string ToString() => string.Join(" | ", All);
}
