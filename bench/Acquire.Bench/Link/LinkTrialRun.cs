using System.Diagnostics;
using System.Globalization;

namespace Acquire.Bench.Link;

/// <summary>The long run of link trials, for a person to start: every bit-error rate with every frame length, then blows and resets.</summary>
internal static class LinkTrialRun
{
    private static readonly double[] Rates = [1e-7, 1e-6, 1e-5, 1e-4, 1e-3];
    private static readonly int[] Frames = [64, 256, 1_024];

    /// <summary>Runs all trials and prints a table.</summary>
    /// <param name="bits">Bits of each trial.</param>
    /// <returns>0 if everything held, else 1.</returns>
    public static int Run(long bits)
    {
        Console.WriteLine($"{bits:#,0} bits on the wire each; codes packed and in 16 bits by turns");
        Console.WriteLine();
        Console.WriteLine("| bit errors | besides | frame | frames sent | intact | used | damaged used | delivered + in gaps | breaks | held | s |");
        Console.WriteLine("| --- | --- | --- | --- | --- | --- | --- | --- | --- | --- | --- |");
        bool held = true;
        int seed = 1;
        foreach (double rate in Rates)
            foreach (int frame in Frames)
                held &= Row("none", new LinkTrialOptions { Bits = bits, BitErrorRate = rate, FrameBytes = frame, Packed = seed % 2 == 1, Seed = seed++ });
        foreach (int frame in Frames)
        {
            held &= Row("blows on 1 in 5", new LinkTrialOptions { Bits = bits, BitErrorRate = 1e-6, FrameBytes = frame, BlowsPerFrame = 0.2, Packed = seed % 2 == 1, Seed = seed++ });
            held &= Row("blows, resets", new LinkTrialOptions { Bits = bits, BitErrorRate = 1e-6, FrameBytes = frame, BlowsPerFrame = 0.1, ResetsPerFrame = 1e-3, Packed = seed % 2 == 1, Seed = seed++ });
            held &= Row("resets, one run number", new LinkTrialOptions { Bits = bits, FrameBytes = frame, ResetsPerFrame = 1e-3, NewRunNumbers = false, Packed = seed % 2 == 1, Seed = seed++ });
        }

        Console.WriteLine();
        Console.WriteLine(held ? "Everything held." : "Something did not hold.");
        return held ? 0 : 1;
    }

    private static bool Row(string besides, LinkTrialOptions options)
    {
        var watch = Stopwatch.StartNew();
        LinkTrialResult r = LinkTrial.Run(options);
        string held = r.Violations.Count == 0 ? "yes" : string.Join(" ", r.Violations);
        Console.WriteLine(string.Create(
            CultureInfo.InvariantCulture,
            $"| {options.BitErrorRate:0e0} | {besides} | {options.FrameBytes:#,0} | {r.FramesSent:#,0} | {r.CopiesIntact:#,0} | {r.FramesUsed:#,0} | {r.DamagedUsed} | {r.ScansDelivered:#,0} + {r.ScansInGaps:#,0} | {r.Breaks} | {held} | {watch.Elapsed.TotalSeconds:0} |"));
        return r.Violations.Count == 0;
    }
}
