using Acquire.Capture;
using Acquire.Columns;
using Acquire.Scales;
using Acquire.Sweeps;
using Acquire.Tests.Doubles;
using Acquire.Tests.Traces;
using Acquire.Traces;

namespace Acquire.Tests.Engine;

/// <summary>A snapshot is the whole state after one call or at one sweep's end, while the engine runs at full speed.</summary>
[Collection(nameof(Alone))]
public class SharedSnapshotTests
{
    private const int Columns = 90, SweepScans = 450, Period = 500, WantedReads = 40;

    private static readonly Setup Bench = new()
    {
        Scan = new() { Roles = [ChannelRole.Ramp, ChannelRole.Vertical, ChannelRole.Vertical] },
        Verticals = [Given.Logarithmic, Given.Logarithmic],
        Sweep = new SweepOptions { Edges = new SweepEdges(200, 3_800), Direction = RampDirection.Rising },
        Columns = new ColumnOptions { ColumnCount = Columns, Placement = Placement.Direct, Domains = [AveragingDomain.Power] },
    };

    // In sweep k every scan carries a code of k: a whole state is sweep k up to the front and sweep k - 1 beyond it, in every detector, domain
    // and vertical. The engine never pauses. The same check must catch the copies that are made without the exchange.
    [Fact]
    public async Task Read_EngineAtFullSpeedAndThreeReaders_EverySnapshotIsWholeAndAnUnguardedCopyIsNot()
    {
        CancellationToken cancel = TestContext.Current.CancellationToken;
        var engine = new SweepEngine(Bench, new SweepRecord(keepsColumns: false), 1 << 12);
        SnapshotExchange exchange = engine.ShareSnapshots(readers: 2);
        DomainTable power = engine.Verticals[0].Tables[(int)AveragingDomain.Power]!;
        ushort[] scans = new ushort[3 * Period];
        int sweep = 0;
        for (; sweep < 4; sweep++) engine.Process(Sweep(scans, sweep));
        using var stop = new CancellationTokenSource(TimeSpan.FromSeconds(60));
        int[] reads = new int[3];
        int torn = 0;

        // Three readers share two slots: the third waits for another reader at times, never for the engine.
        Task<string?> Reader(int number) => Task.Factory.StartNew(
            () =>
            {
                TraceSnapshot snapshot = exchange.CreateSnapshot();
                while (!stop.IsCancellationRequested)
                {
                    if (!exchange.Read(snapshot))
                    {
                        Thread.Yield();
                        continue;
                    }

                    reads[number]++;
                    if (Fault(snapshot.Traces, power) is { } fault) return fault;
                    // One past the scan under the front, in the sweep that the traces say is under way.
                    long position = snapshot.EndPosition, expected = snapshot.Traces[0].SweepNumber;
                    if (expected >= 0 && position / Period != expected) return $"The position is {position} in sweep {expected}.";
                }

                return null;
            },
            cancel, TaskCreationOptions.LongRunning, TaskScheduler.Default);
        Task unguarded = Task.Factory.StartNew(
            () =>
            {
                Trace[] copies = [.. engine.Traces.Select(t => new Trace(t.ColumnCount, t.Domains))];
                while (!stop.IsCancellationRequested)
                {
                    for (int v = 0; v < copies.Length; v++) copies[v].CopyFrom(engine.Traces[v]);
                    if (Fault(copies, power) is not null) Interlocked.Increment(ref torn);
                }
            },
            cancel, TaskCreationOptions.LongRunning, TaskScheduler.Default);
        Task<string?>[] readers = [Reader(0), Reader(1), Reader(2)];
        while (!stop.IsCancellationRequested && !readers.Any(r => r.IsCompleted) && !(reads.All(r => r >= WantedReads) && Volatile.Read(ref torn) > 0))
        {
            Sweep(scans, sweep++);
            for (int from = 0; from < Period; from += 23)
                engine.Process(scans.AsSpan(3 * from, 3 * Math.Min(23, Period - from)));
        }

        await stop.CancelAsync();
        await unguarded;
        foreach (Task<string?> reader in readers) Assert.Null(await reader);
        Assert.All(reads, r => Assert.True(r >= WantedReads, $"{r} reads."));
        Assert.True(torn > 0, "No unguarded copy was torn, so this test could not have seen a torn snapshot.");
    }

    [Fact]
    public void Snapshot_AfterEachCall_IsTheStateOfThatCall()
    {
        var engine = new SweepEngine(Bench, new SweepRecord(keepsColumns: false), 1 << 12);
        SnapshotExchange exchange = engine.ShareSnapshots(readers: 1);
        TraceSnapshot snapshot = exchange.CreateSnapshot();
        ushort[] scans = new ushort[3 * Period];
        var random = new Random(8);
        for (int sweep = 0; sweep < 12; sweep++)
        {
            Sweep(scans, sweep);
            for (int from = 0; from < Period;)
            {
                int to = Math.Min(Period, from + random.Next(1, 80));
                engine.Process(scans.AsSpan(3 * from, 3 * (to - from)));
                from = to;

                Assert.True(exchange.Read(snapshot));
                Assert.Equal((sweep * Period) + to, snapshot.EndPosition);
                Assert.Equal(engine.Axis, snapshot.Axis);
                for (int v = 0; v < 2; v++) Assert.Equal(StateHash.Of(engine.Traces[v]), StateHash.Of(snapshot.Traces[v]));
                Assert.False(exchange.Read(snapshot));
            }
        }
    }

    private static ushort CodeOf(long sweep, int vertical) => (ushort)(((sweep * 7) + vertical) % 4_000);

    private static ReadOnlySpan<ushort> Sweep(ushort[] scans, int sweep)
    {
        for (int i = 0; i < Period; i++)
        {
            // 8 codes a scan; the flyback takes ten scans, then the ramp rests.
            scans[3 * i] = (ushort)(i < SweepScans ? 204 + (8 * i) : Math.Max(204, 3_796 - ((i - SweepScans + 1) * 360)));
            for (int v = 0; v < 2; v++) scans[(3 * i) + 1 + v] = CodeOf(sweep, v);
        }

        return scans;
    }

    /// <returns>Null for a whole state, otherwise what is torn.</returns>
    private static string? Fault(IReadOnlyList<Trace> traces, DomainTable power)
    {
        for (int v = 0; v < traces.Count; v++)
        {
            Trace trace = traces[v];
            if (trace.SweepNumber != traces[0].SweepNumber || trace.Front != traces[0].Front)
                return $"Vertical {v} is at column {trace.Front} of sweep {trace.SweepNumber}, vertical 0 at {traces[0].Front} of {traces[0].SweepNumber}.";
            long last = trace.SweepNumber >= 0 ? trace.SweepNumber : trace.SweepNumbers[^1];
            int front = trace.SweepNumber >= 0 ? trace.Front : Columns - 1;
            for (int c = 0; c < Columns; c++)
            {
                long sweep = c <= front ? last : last - 1;
                if (trace.SweepNumbers[c] != sweep) return $"Column {c} is of sweep {trace.SweepNumbers[c]}, not {sweep}; the front is at {front} of {last}.";
                if (FaultOf(trace, c, CodeOf(sweep, v), power) is { } fault) return $"Column {c} of sweep {sweep}: {fault}.";
            }
        }

        return null;
    }

    private static string? FaultOf(Trace trace, int column, ushort code, DomainTable power)
    {
        ColumnStatistics s = trace.Columns;
        long count = s.Counts[column];
        // 40 codes a column, 8 codes a scan; the front's may be half full, the first and last hold the turning scans.
        if (count is < 1 or > 7) return $"{count} scans";
        if (s.HighestCodes[column] != code || s.LowestCodes[column] != code || s.LastCodes[column] != code) return "peak, minimum or sample";
        if (s.CodeSums[column] != count * code || s.CodeSquareSums[column] != (UInt128)(count * code * code)) return "sums";
        return s.DomainSums(AveragingDomain.Power)[column] == (Int128)count * power[code] ? null : "power sum";
    }
}
