using System.Globalization;
using Acquire.Capture;
using Acquire.Columns;
using Acquire.Scales;
using Acquire.Sources.Synthetic;

namespace Acquire.Bench.Speed;

/// <summary>The engine as shipped, against reading its input alone and against loops in C: the tables of bench/results and of the README.</summary>
internal static class SpeedTable
{
    private const int ScansPerCall = 4_096;

    /// <returns>The rows of the README's table, which holds some of the columns.</returns>
    public static IReadOnlyList<string> Run(TextWriter output, int megabytes, int rounds)
    {
        string vectors = $"Vector<ushort> of {System.Numerics.Vector<ushort>.Count * 16} bits";
        output.WriteLine(string.Create(CultureInfo.InvariantCulture,
            $"`SweepEngine.Process` as shipped: default setup (1,000 columns, edges learnt), 12-bit codes, 1.5 codes rms of ramp noise, 10 % retrace, {megabytes} MiB from memory in calls of {ScansPerCall:N0} scans, one thread."));
        output.WriteLine($"Ways alternate; medians of {rounds} rounds, ratios with the interval that holds the median with 95 %. .NET {Environment.Version}, {vectors}, {(CLoops.Exist ? "gcc -O3 -march=native" : "no gcc: no C loops")}, {(NumpyLoop.Exists ? "numpy" : "no numpy")}.");
        output.WriteLine();
        output.WriteLine("| scans per column | reading alone, M scans/s | C, plain | C, branch-free | C, sweeps told | numpy | direct | fitted | sweeps told / reading | direct / reading | fitted / reading | direct / C branch-free | fitted / C branch-free | fitted share |");
        output.WriteLine("| --- | --- | --- | --- | --- | --- | --- | --- | --- | --- | --- | --- | --- | --- |");
        List<string> readme = [];
        foreach (int perColumn in (int[])[2, 20, 200]) readme.Add(Sizes(output, perColumn, megabytes, rounds));
        output.WriteLine();
        Others(output, megabytes, rounds);
        return readme;
    }

    private static string Sizes(TextWriter output, int perColumn, int megabytes, int rounds)
    {
        ushort[] words = SpeedWords.Fill(perColumn, (long)megabytes << 20);
        var loops = new CLoops(4_095);
        var share = new PlacementShare();
        SweepEngine direct = new(SpeedWords.SetupFor(Placement.Direct), new NoSink()), fitted = new(SpeedWords.SetupFor(Placement.Fitted), share);
        var ways = new Paired(words.Length / 2, rounds);
        ways.Add("read", () => Words.Highest(words));
        if (CLoops.Exist)
        {
            ways.Add("plain", () => loops.Plain(words));
            ways.Add("free", () => loops.BranchFree(words));
            ways.Add("told", () => loops.Known(words, perColumn));
        }

        using NumpyLoop? numpy = NumpyLoop.Exists ? new NumpyLoop(words, loops.ColumnOfCode) : null;
        if (numpy is not null) ways.Add("numpy", numpy.Run);
        ways.Add("direct", () => Process(direct, words, ScansPerCall));
        ways.Add("fitted", () => Process(fitted, words, ScansPerCall));
        ways.Run();
        string C(string name) => ways.Has(name) ? ways.Rate(name) : "-";
        string OverC(string name) => ways.Has("free") ? ways.Ratio(name, "free") : "-";
        output.WriteLine(string.Create(CultureInfo.InvariantCulture,
            $"| {perColumn} | {ways.Rate("read")} | {C("plain")} | {C("free")} | {C("told")} | {C("numpy")} | {ways.Rate("direct")} | {ways.Rate("fitted")} | {(ways.Has("told") ? ways.Ratio("told", "read") : "-")} | {ways.Ratio("direct", "read")} | {ways.Ratio("fitted", "read")} | {OverC("direct")} | {OverC("fitted")} | {share.Fitted:P1} |"));
        return $"| {perColumn} | {ways.Rate("read")} | {C("plain")} | {ways.Rate("direct")} | {ways.Rate("fitted")} |";
    }

    private static void Others(TextWriter output, int megabytes, int rounds)
    {
        long bytes = (long)megabytes << 20;
        ushort[] words = SpeedWords.Fill(20, bytes);
        Setup setup = SpeedWords.SetupFor(Placement.Fitted) with { Verticals = new SyntheticBench(Words.Bench(20, scans: 1)).SetupFor().Verticals };
        Setup With(params AveragingDomain[] domains) => setup with { Columns = setup.Columns with { Domains = domains } };
        Setup Delayed(double skew, double scans) => setup with
        {
            Scan = setup.Scan with { ScanRateHz = 1e6 },
            Columns = setup.Columns with { SkewScans = skew, VideoDelaySeconds = scans * 1e-6 },
        };
        ScanFormat blanking = new() { Roles = SpeedWords.WithBlanking };
        var ways = new Paired(words.Length / 2, rounds);
        List<string> names = [];
        void Add(string name, Setup s, ushort[] from, int scansPerCall = ScansPerCall, EnginePath? path = null)
        {
            SweepEngine engine = new(s, new NoSink(), SweepEngine.DefaultHistoryScans, path);
            names.Add(name);
            ways.Add(name, () => Process(engine, from, scansPerCall));
        }

        Add("no averaging domain", setup, words);
        Add("power summed", With(AveragingDomain.Power), words);
        Add("power and level summed", With(AveragingDomain.Power, AveragingDomain.Level), words);
        Add("power, level and voltage summed", With(AveragingDomain.Power, AveragingDomain.Level, AveragingDomain.Voltage), words);
        Add("calls of 1,024 scans instead of 4,096", setup, words, scansPerCall: 1_024);
        Add("vertical read half a scan after the ramp", Delayed(0.5, 0), words);
        Add("vertical 10 scans late as well", Delayed(0.5, 10), words);
        Add("blanking channel", SpeedWords.SetupFor(Placement.Fitted) with { Scan = blanking }, SpeedWords.Fill(20, bytes * 3 / 2, roles: blanking.Roles));
        Add("6 codes rms of ramp noise", setup, SpeedWords.Fill(20, bytes, noiseCodes: 6));
        Add("16-bit codes", SpeedWords.SetupFor(Placement.Fitted, bits: 16), SpeedWords.Fill(20, bytes, bits: 16));
        Add("10-bit codes", SpeedWords.SetupFor(Placement.Fitted, bits: 10), SpeedWords.Fill(20, bytes, bits: 10));
        Add("sweeps of 1,000 scans, 1 to a column", setup, SpeedWords.Fill(1, bytes));
        Add("scan by scan, the specification", setup, words, path: EnginePath.Single);
        ways.Run();
        output.WriteLine("At 20 scans a column, fitted:");
        output.WriteLine();
        output.WriteLine("| what | ns per scan | rate to the first |");
        output.WriteLine("| --- | --- | --- |");
        foreach (string name in names)
            output.WriteLine(string.Create(CultureInfo.InvariantCulture, $"| {name} | {ways.Nanoseconds(name):0.00} | {ways.Ratio(name, names[0])} |"));
    }

    private static void Process(SweepEngine engine, ReadOnlySpan<ushort> words, int scansPerCall)
    {
        int wordsPerCall = engine.Setup.Scan.ChannelCount * scansPerCall;
        for (int at = 0; at < words.Length; at += wordsPerCall) engine.Process(words.Slice(at, Math.Min(wordsPerCall, words.Length - at)));
    }
}
