using System.Diagnostics;
using Acquire.Columns;

namespace Acquire.Bench.Speed;

/// <summary>A quick look while changing things: reading alone, direct and fitted in turn.</summary>
internal static class QuickLook
{
    public static void Run(int scansPerCall, int rounds, int megabytes)
    {
        foreach (int perColumn in (int[])[2, 20, 200])
        {
            ushort[] words = SpeedWords.Fill(perColumn, (long)megabytes << 20);
            int scans = words.Length / 2;
            SweepEngine direct = new(SpeedWords.SetupFor(Placement.Direct), new NoSink()), fitted = new(SpeedWords.SetupFor(Placement.Fitted), new NoSink());
            double[][] times = [new double[rounds], new double[rounds], new double[rounds]];
            for (int r = -1; r < rounds; r++)
            {
                for (int which = 0; which < 3; which++)
                {
                    long from = Stopwatch.GetTimestamp();
                    if (which == 0) Words.Highest(words);
                    else Process(which == 1 ? direct : fitted, words, scansPerCall * 2);
                    double ns = Stopwatch.GetElapsedTime(from).TotalNanoseconds / scans;
                    if (r >= 0) times[which][r] = ns;
                }
            }

            double read = Median(times[0]), d = Median(times[1]), f = Median(times[2]);
            Console.WriteLine($"{perColumn,4}: read {read:F3} ns; direct {d:F3} ns, {1e3 / d:F0} M/s, ratio {read / d:F3}; fitted {f:F3} ns, {1e3 / f:F0} M/s, ratio {read / f:F3}");
            Console.WriteLine($"      in columns {direct.Accounting.InColumns / (double)direct.Accounting.Scans:P1}, unassigned {direct.Accounting.Unassigned}, sweeps {((double)direct.Accounting.Scans / (1_100 * perColumn)):F1}");
        }
    }

    private static void Process(SweepEngine engine, ReadOnlySpan<ushort> words, int wordsPerCall)
    {
        for (int at = 0; at < words.Length; at += wordsPerCall) engine.Process(words.Slice(at, Math.Min(wordsPerCall, words.Length - at)));
    }

    private static double Median(double[] values)
    {
        Array.Sort(values);
        return values[values.Length / 2];
    }
}
