using System.Diagnostics;
using System.Globalization;

namespace Acquire.Bench.Speed;

/// <summary>Ways to do the same, run in turn A B A B, so that what disturbs the machine disturbs all alike.</summary>
internal sealed class Paired(long scans, int rounds)
{
    private readonly List<(string Name, Action Run)> _ways = [];
    private double[][] _nanoseconds = [];

    public void Add(string name, Action run) => _ways.Add((name, run));

    public void Run()
    {
        _nanoseconds = [.. _ways.Select(_ => new double[rounds])];
        for (int r = -1; r < rounds; r++)
        {
            for (int w = 0; w < _ways.Count; w++)
            {
                long from = Stopwatch.GetTimestamp();
                _ways[w].Run();
                if (r >= 0) _nanoseconds[w][r] = Stopwatch.GetElapsedTime(from).TotalNanoseconds / scans;
            }
        }
    }

    public bool Has(string name) => _ways.Exists(w => w.Name == name);

    /// <summary>Median, in nanoseconds per scan.</summary>
    public double Nanoseconds(string name) => Median([.. Of(name)]);

    public string Rate(string name) => string.Create(CultureInfo.InvariantCulture, $"{1e3 / Nanoseconds(name):0}");

    /// <summary>How much faster one way is than another: median of the rounds' ratios and the interval that holds it with at least 95 %.</summary>
    public string Ratio(string faster, string slower)
    {
        double[] ratios = [.. Of(slower).Zip(Of(faster), (s, f) => s / f).Order()];
        // The median lies between the k-th lowest and the k-th highest with 1 - 2 P(fewer than k of n heads).
        int k = 0;
        double below = 0, term = Math.Pow(0.5, ratios.Length);
        while (2 * (below + term) <= 0.05)
        {
            below += term;
            term *= (double)(ratios.Length - k) / (k + 1);
            k++;
        }

        k = Math.Max(0, k - 1);
        return string.Create(CultureInfo.InvariantCulture, $"{Median(ratios):0.###} ({ratios[k]:0.###} to {ratios[^(k + 1)]:0.###})");
    }

    private double[] Of(string name) => _nanoseconds[_ways.FindIndex(w => w.Name == name)];

    private static double Median(double[] values)
    {
        Array.Sort(values);
        return values.Length % 2 == 1 ? values[values.Length / 2] : (values[(values.Length / 2) - 1] + values[values.Length / 2]) / 2;
    }
}
