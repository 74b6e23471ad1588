using Acquire.Capture;
using Acquire.Harness.Inspect;

namespace Acquire.Harness.Tests.Inspect;

/// <summary>A small swept bench whose every fault can be set: scans come out as an array, gaps beside it.</summary>
/// <remarks>The defaults are a recording without any fault.</remarks>
internal sealed record Bench
{
    public double? ScanRateHz { get; init; } = 20_000;

    public int Bits { get; init; } = 12;

    public int Sweeps { get; init; } = 6;

    public int SweepScans { get; init; } = 4_000;

    public int RetraceScans { get; init; } = 200;

    public int RestScans { get; init; } = 300;

    public double RampLow { get; init; } = 200;

    public double RampHigh { get; init; } = 3_900;

    public double RampNoise { get; init; } = 1.5;

    public double VerticalNoise { get; init; } = 3;

    /// <summary>Ramp voltage as a share of its height at a share of the sweep's time.</summary>
    public Func<double, double> Course { get; init; } = x => x;

    /// <summary>Vertical code at a share of the screen.</summary>
    public Func<double, double> Signal { get; init; } = x => 500 + (2_000 * Math.Exp(-Math.Pow((x - 0.4) / 0.05, 2)));

    /// <summary>The vertical goes on drawing while the ramp flies back.</summary>
    public bool Unblanked { get; init; }

    /// <summary>Is added to the ramp's code at a scan.</summary>
    public Func<long, double> OnRamp { get; init; } = _ => 0;

    /// <summary>Is added to the vertical's code at a scan.</summary>
    public Func<long, double> OnVertical { get; init; } = _ => 0;

    /// <summary>Last change of the words of all scans, ramp first.</summary>
    public Action<ushort[]> Change { get; init; } = _ => { };

    /// <summary>Factor on the length of a sweep.</summary>
    public Func<int, double> Stretch { get; init; } = _ => 1;

    /// <summary>Scans that a sweep is followed by at rest; null for <see cref="RestScans"/>.</summary>
    public Func<int, int>? RestAfter { get; init; }

    /// <summary>Share of a sweep at which it flies back; 1 is its end.</summary>
    public Func<int, double> FlyBackAt { get; init; } = _ => 1;

    /// <summary>Gaps: scan before which it lies, and lost scans or null for a break.</summary>
    public IReadOnlyList<(long AtScan, long? Lost)> Gaps { get; init; } = [];

    public int Seed { get; init; } = 11;

    public Setup Setup => new() { Scan = new ScanFormat { Bits = Bits, ScanRateHz = ScanRateHz } };

    public ushort[] Words()
    {
        List<(double Ramp, double Vertical)> scans = [];
        double height = RampHigh - RampLow;
        Stand(RestScans);
        for (int sweep = 0; sweep < Sweeps; sweep++)
        {
            int length = (int)(SweepScans * Stretch(sweep)), until = (int)(length * FlyBackAt(sweep));
            for (int i = 0; i < until; i++)
            {
                double x = Course((double)i / length);
                scans.Add((RampLow + (height * x), Signal(x)));
            }

            double from = Course((double)until / length);
            for (int i = 0; i < RetraceScans; i++)
            {
                double x = from * (1 - ((double)i / RetraceScans));
                scans.Add((RampLow + (height * x), Unblanked ? Signal(x) : Signal(0)));
            }

            Stand(RestAfter?.Invoke(sweep) ?? RestScans);
        }

        Random random = new(Seed);
        ushort[] words = new ushort[scans.Count * 2];
        for (int i = 0; i < scans.Count; i++)
        {
            words[2 * i] = Code(scans[i].Ramp + OnRamp(i) + (RampNoise * Gauss(random)));
            words[(2 * i) + 1] = Code(scans[i].Vertical + OnVertical(i) + (VerticalNoise * Gauss(random)));
        }

        Change(words);
        return words;

        void Stand(int count)
        {
            for (int i = 0; i < count; i++) scans.Add((RampLow, Signal(0)));
        }
    }

    public InspectionFacts Look() => Look(Setup, new RecordingFacts { Name = "bench" });

    public InspectionFacts Look(Setup setup) => Look(setup, new RecordingFacts { Name = "bench" });

    public InspectionFacts Look(Setup setup, RecordingFacts recording) =>
        Inspection.Look(new MemoryWalk(Words(), setup.Scan.ChannelCount, Gaps), recording, setup, CancellationToken.None);

    private ushort Code(double value) => (ushort)Math.Clamp(Math.Round(value), 0, (1 << Bits) - 1);

    private static double Gauss(Random random) =>
        Math.Sqrt(-2 * Math.Log(1 - random.NextDouble())) * Math.Cos(2 * Math.PI * random.NextDouble());
}
