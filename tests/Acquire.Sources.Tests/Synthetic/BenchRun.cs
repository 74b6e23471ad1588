using Acquire.Sources.Synthetic;

namespace Acquire.Sources.Tests.Synthetic;

/// <summary>A bench read to its end in pieces of a given size.</summary>
internal sealed class BenchRun
{
    public required SyntheticBench Bench { get; init; }

    public List<ushort> Words { get; } = [];

    public List<ScanTruth> Truth { get; } = [];

    public List<(long AtScan, SyntheticRead Read)> Losses { get; } = [];

    public int ScanCount => Words.Count / Bench.Format.ChannelCount;

    public static BenchRun ToEnd(SyntheticOptions options, Func<int>? nextScans = null)
    {
        BenchRun run = new() { Bench = new SyntheticBench(options) };
        int channels = run.Bench.Format.ChannelCount;
        ushort[] words = new ushort[4_096 * channels];
        ScanTruth[] truth = new ScanTruth[4_096];
        while (true)
        {
            int scans = nextScans is null ? truth.Length : Math.Min(nextScans(), truth.Length);
            SyntheticRead read = run.Bench.ReadWithTruth(words.AsSpan(0, scans * channels), truth.AsSpan(0, scans));
            if (read.Kind == SyntheticReadKind.End) return run;
            if (read.Kind == SyntheticReadKind.Scans)
            {
                run.Words.AddRange(words.AsSpan(0, (int)read.Count * channels));
                run.Truth.AddRange(truth.AsSpan(0, (int)read.Count));
            }
            else
            {
                run.Losses.Add((run.ScanCount, read));
            }
        }
    }

    public ushort Word(int scan, int channel) => Words[(scan * Bench.Format.ChannelCount) + channel];

    public IEnumerable<ushort> Channel(int channel) => Enumerable.Range(0, ScanCount).Select(k => Word(k, channel));
}
