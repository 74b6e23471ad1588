using Acquire.Capture;
using Acquire.Sources.Synthetic;

namespace Acquire.Tests.Engine;

/// <summary>A whole stream in memory: scans, and before which of them how many are missing. It can be cut anywhere.</summary>
internal sealed class ScanStream
{
    private readonly List<ushort> _words = [];
    private readonly List<Loss> _losses = [];

    public ScanStream(ScanFormat format) => Format = format;

    /// <summary>Scans are missing before a scan: a known number, or 0 for a break.</summary>
    internal readonly record struct Loss(int AtScan, long LostScans);

    public ScanFormat Format { get; }

    public int Channels => Format.ChannelCount;

    public int Scans => _words.Count / Channels;

    public IReadOnlyList<Loss> Losses => _losses;

    /// <summary>What the synthetic bench did, where it is one.</summary>
    public SyntheticTruth? Truth { get; private init; }

    public long Lost => _losses.Sum(l => l.LostScans);

    public int Breaks => _losses.Count(l => l.LostScans == 0);

    public static ScanStream Of(SyntheticOptions options)
    {
        var bench = new SyntheticBench(options);
        var stream = new ScanStream(bench.Format) { Truth = bench.Truth };
        ushort[] words = new ushort[4_096 * stream.Channels];
        while (true)
        {
            SyntheticRead read = bench.Read(words);
            switch (read.Kind)
            {
                case SyntheticReadKind.Scans: stream.Add(words.AsSpan(0, (int)read.Count * stream.Channels)); break;
                case SyntheticReadKind.Gap: stream.Lose(read.Count); break;
                case SyntheticReadKind.Break: stream.Break(); break;
                default: return stream;
            }
        }
    }

    public void Add(params ReadOnlySpan<ushort> words) => _words.AddRange(words);

    public void Lose(long scans) => _losses.Add(new Loss(Scans, scans));

    public void Break() => _losses.Add(new Loss(Scans, 0));

    public ushort this[long scan, int channel]
    {
        get => _words[((int)scan * Channels) + channel];
        set => _words[((int)scan * Channels) + channel] = value;
    }

    public ReadOnlySpan<ushort> Words(int from, int to) =>
        System.Runtime.InteropServices.CollectionsMarshal.AsSpan(_words)[(from * Channels)..(to * Channels)];

    /// <summary>Feeds scans [from, to), each loss directly before its scan; one call between losses.</summary>
    public void Feed(SweepEngine engine, int from, int to)
    {
        foreach (Loss loss in _losses)
        {
            if (loss.AtScan < from || loss.AtScan >= to) continue;
            engine.Process(Words(from, loss.AtScan));
            from = loss.AtScan;
            Tell(engine, loss);
        }

        engine.Process(Words(from, to));
    }

    /// <summary>Says what is missing behind the last scan, and that the stream has ended.</summary>
    public void Complete(SweepEngine engine)
    {
        foreach (Loss loss in _losses)
            if (loss.AtScan == Scans) Tell(engine, loss);
        engine.Complete();
    }

    /// <summary>Feeds scans [from, to) in pieces whose lengths come from a function.</summary>
    public void Feed(SweepEngine engine, int from, int to, Func<int> lengthOfNext, Action? afterEach = null)
    {
        while (from < to)
        {
            int end = Math.Min(to, from + Math.Max(1, lengthOfNext()));
            Feed(engine, from, end);
            from = end;
            afterEach?.Invoke();
        }
    }

    /// <summary>Feeds everything in one call per stretch, and completes.</summary>
    public SweepEngine FeedAll(SweepEngine engine)
    {
        Feed(engine, 0, Scans);
        Complete(engine);
        return engine;
    }

    private static void Tell(SweepEngine engine, Loss loss)
    {
        if (loss.LostScans > 0) engine.Skip(loss.LostScans, GapCause.Link);
        else engine.Break(GapCause.Unknown);
    }
}
