using Acquire.Capture;
using Acquire.Sources.Synthetic;

namespace Acquire.Sources.Tests.Sessions;

/// <summary>Small instruments for tests of the session: 400 scans of sweep in 500.</summary>
internal static class Benches
{
    public const int ScansPerCycle = 500;

    public static SyntheticOptions Of(int sweeps, ulong seed = 5) => new()
    {
        Seed = seed,
        Sweeps = sweeps,
        Ramp = new RampModel { NoiseCodes = 0.5 },
        Sweep = new SweepTiming { SweepScans = 400, RetraceScans = 40, RestScans = 60, Begin = BeginPhase.Rest },
    };

    public static Setup SetupOf(SyntheticOptions options)
    {
        Setup setup = new SyntheticBench(options).SetupFor();
        return setup with { Columns = setup.Columns with { ColumnCount = 50 } };
    }

    /// <summary>All scans of a bench without losses.</summary>
    public static ushort[] ScansOf(SyntheticOptions options)
    {
        SyntheticBench bench = new(options);
        List<ushort> all = [];
        ushort[] block = new ushort[2 * 1_000];
        SyntheticRead read;
        while ((read = bench.Read(block)).Kind == SyntheticReadKind.Scans) all.AddRange(block.AsSpan(0, 2 * (int)read.Count));
        return [.. all];
    }

    public static StreamDescription DescriptionOf(SyntheticOptions options) => new() { Scan = options.Format };
}
