using System.Diagnostics;
using Acquire.Columns;

namespace Acquire.Bench.Speed;

/// <summary>A quick look while changing things: reading alone, direct and fitted in turn, a million scans at a time; the tenth of them that were least disturbed.</summary>
internal static class QuickLook
{
    private const int WordsAtOnce = 2 << 20;

    public static void Run(int scansPerCall, int rounds, int megabytes, int[] scansPerColumn)
    {
        foreach (int perColumn in scansPerColumn)
        {
            ushort[] words = SpeedWords.Fill(perColumn, (long)megabytes << 20);
            SweepEngine direct = new(SpeedWords.SetupFor(Placement.Direct), new NoSink()), fitted = new(SpeedWords.SetupFor(Placement.Fitted), new NoSink());
            List<double>[] times = [[], [], []];
            for (int r = -1; r < rounds; r++)
            {
                for (int at = 0; at + WordsAtOnce <= words.Length; at += WordsAtOnce)
                {
                    for (int which = 0; which < 3; which++)
                    {
                        ReadOnlySpan<ushort> some = words.AsSpan((at + (which * words.Length / 3 / 64 * 64)) % (words.Length - WordsAtOnce + 1), WordsAtOnce);
                        if (which > 0) some = words.AsSpan(at, WordsAtOnce);
                        long from = Stopwatch.GetTimestamp();
                        if (which == 0) Words.Highest(some);
                        else Process(which == 1 ? direct : fitted, some, scansPerCall * 2);
                        if (r >= 0) times[which].Add(Stopwatch.GetElapsedTime(from).TotalNanoseconds / (WordsAtOnce / 2));
                    }
                }
            }

            double read = Least(times[0]), d = Least(times[1]), f = Least(times[2]);
            Console.WriteLine($"{perColumn,4}: read {read:F3} ns; direct {d:F3} ns, {1e3 / d:F0} M/s, ratio {read / d:F3}; fitted {f:F3} ns, {1e3 / f:F0} M/s, ratio {read / f:F3}");
            Console.WriteLine($"      in columns {direct.Accounting.InColumns / (double)direct.Accounting.Scans:P1}, unassigned {direct.Accounting.Unassigned}");
        }
    }

    private static void Process(SweepEngine engine, ReadOnlySpan<ushort> words, int wordsPerCall)
    {
        for (int at = 0; at < words.Length; at += wordsPerCall) engine.Process(words.Slice(at, Math.Min(wordsPerCall, words.Length - at)));
    }

    private static double Least(List<double> values)
    {
        values.Sort();
        return values[values.Count / 10];
    }
}
