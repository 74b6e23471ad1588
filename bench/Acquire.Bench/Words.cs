using System.Numerics;
using System.Runtime.InteropServices;
using Acquire.Columns;
using Acquire.Sources.Synthetic;

namespace Acquire.Bench;

/// <summary>The words that benchmarks work on, from a seed, and the plainest work that can be done with them.</summary>
internal static class Words
{
    public const int Columns = 500;

    /// <summary>A bench whose sweep takes so many scans a column, and a quarter of that besides for retrace and rest.</summary>
    public static SyntheticOptions Bench(int scansPerColumn, long? scans) => new()
    {
        Seed = 20_250_314,
        Scans = scans,
        KeepTruth = false,
        Sweep = new SweepTiming
        {
            SweepScans = Columns * scansPerColumn,
            RetraceScans = Columns * scansPerColumn / 10,
            RestScans = Columns * scansPerColumn * 3 / 20,
        },
        Ramp = new RampModel { NoiseCodes = 0.5 },
        Verticals = [new VerticalModel { NoiseCodes = 20, Tones = [new Tone(20_000, -20), new Tone(38_000, -45)] }],
    };

    public static Setup SetupFor(SyntheticOptions options, Placement placement)
    {
        Setup setup = new SyntheticBench(options).SetupFor();
        return setup with { Columns = setup.Columns with { ColumnCount = Columns, Placement = placement } };
    }

    /// <summary>The first scans of a bench, interleaved.</summary>
    public static ushort[] Read(SyntheticOptions options, int scans)
    {
        var bench = new SyntheticBench(options);
        ushort[] words = new ushort[scans * options.Roles.Count];
        for (int at = 0; at < words.Length;)
        {
            SyntheticRead read = bench.Read(words.AsSpan(at));
            if (read.Kind != SyntheticReadKind.Scans) throw new InvalidOperationException($"The bench gave {read.Kind} after {at} words; it must give scans alone.");
            at += (int)read.Count * options.Roles.Count;
        }

        return words;
    }

    /// <summary>The highest word, as many at a time as the machine compares: what it costs to read words at all.</summary>
    public static ushort Highest(ReadOnlySpan<ushort> words)
    {
        ReadOnlySpan<Vector<ushort>> vectors = MemoryMarshal.Cast<ushort, Vector<ushort>>(words);
        Vector<ushort> most = Vector<ushort>.Zero;
        foreach (Vector<ushort> vector in vectors) most = Vector.Max(most, vector);
        ushort highest = 0;
        for (int i = 0; i < Vector<ushort>.Count; i++) highest = Math.Max(highest, most[i]);
        foreach (ushort word in words[(vectors.Length * Vector<ushort>.Count)..]) highest = Math.Max(highest, word);
        return highest;
    }
}
