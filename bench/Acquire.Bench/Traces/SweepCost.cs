using System.Globalization;
using Acquire.Bench.Speed;
using Acquire.Scales;

namespace Acquire.Bench.Traces;

/// <summary>What a sweep's end costs, part by part, in copies of its trace: at most ten together, whatever the history's depth.</summary>
internal static class SweepCost
{
    /// <summary>Ends of sweeps that a round times at once: well above what reading the clock costs, and shorter than a busy machine leaves a thread alone.</summary>
    private const int AtOnce = 32;

    private static readonly int[] Depths = [10, 10_000];

    private static readonly (string Name, Action<SweepEnds> Run)[] Parts =
    [
        ("copy of the trace", e => e.Copy()),
        ("completion", e => e.Completion()),
        ("hold", e => e.Hold()),
        ("average", e => e.Average()),
        ("normalise", e => e.Normalise()),
        ("history row", e => e.HistoryRow()),
    ];

    public static void Run(TextWriter output, int rounds)
    {
        output.WriteLine(string.Create(CultureInfo.InvariantCulture,
            $"One vertical, {SweepEnds.Columns:N0} columns in level, two averaging domains: a trace is {SweepEnds.TraceBytes:N0} bytes. Parts alternate with copying; medians of {rounds} rounds of {AtOnce} sweeps. .NET {Environment.Version}."));
        output.WriteLine();
        output.WriteLine("| law | averaged in | part | history depth | ns per sweep | ns per column | copies of the trace |");
        output.WriteLine("| --- | --- | --- | --- | --- | --- | --- |");
        foreach (int depth in Depths) Case(output, depth, VerticalLaw.Logarithmic, domain: null, rounds, parts: true);
        Case(output, Depths[^1], VerticalLaw.Logarithmic, AveragingDomain.Power, rounds, parts: true);
        foreach (VerticalLaw law in Enum.GetValues<VerticalLaw>())
            foreach (AveragingDomain domain in Enum.GetValues<AveragingDomain>()) Case(output, Depths[0], law, domain, rounds, parts: false);
    }

    private static void Case(TextWriter output, int depth, VerticalLaw law, AveragingDomain? domain, int rounds, bool parts)
    {
        var ends = new SweepEnds(depth, law, domain);
        // A full history: every row has been written, as in a program that has run for long.
        for (int i = 0; i < depth; i++) ends.HistoryRow();
        GC.Collect();
        var ways = new Paired(AtOnce, rounds);
        foreach ((string name, Action<SweepEnds> run) in Parts) ways.Add(name, () => Times(run, ends));
        // A snapshot is of a trace that changed, so a completion goes before each, and is taken off.
        ways.Add("snapshot", () => Times(Both, ends));
        // Until the JIT has compiled everything for good: its tiers wait for calls and for a pause.
        for (int i = 0; i < 4; i++)
        {
            for (int often = 0; often < 8; often++)
            {
                foreach ((_, Action<SweepEnds> run) in Parts) Times(run, ends);
                Times(Both, ends);
            }

            Thread.Sleep(300);
        }

        ways.Run();

        double copy = ways.Nanoseconds("copy of the trace"), sum = 0;
        foreach (string name in (string[])[.. Parts.Select(p => p.Name), "snapshot"])
        {
            double cost = ways.Nanoseconds(name) - (name == "snapshot" ? ways.Nanoseconds("completion") : 0);
            if (name != "copy of the trace") sum += cost;
            if (parts) Line(output, law, domain, name, depth, cost, copy);
        }

        Line(output, law, domain, "**all but the copy**", depth, sum, copy);
    }

    private static void Both(SweepEnds ends)
    {
        ends.Completion();
        ends.Snapshot();
    }

    private static void Times(Action<SweepEnds> run, SweepEnds ends)
    {
        for (int i = 0; i < AtOnce; i++) run(ends);
    }

    private static void Line(TextWriter output, VerticalLaw law, AveragingDomain? domain, string part, int depth, double nanoseconds, double copy) =>
        output.WriteLine(string.Create(CultureInfo.InvariantCulture,
            $"| {law} | {(domain is null ? "its own" : domain)} | {part} | {depth:N0} | {nanoseconds:0} | {nanoseconds / SweepEnds.Columns:0.00} | {nanoseconds / copy:0.00} |"));
}
