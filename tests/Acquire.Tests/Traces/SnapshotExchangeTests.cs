using Acquire.Columns;
using Acquire.Scales;
using Acquire.Tests.Doubles;
using Acquire.Traces;

namespace Acquire.Tests.Traces;

[Collection(nameof(Alone))]
public class SnapshotExchangeTests
{
    private const int Scans = 3;

    private static readonly VerticalConverter Converter = Given.Converter(Given.LogarithmicBent, Given.AllDomains);

    [Fact]
    public void Read_AfterPublish_IsTheStateThenAndNotTheStateNow()
    {
        Trace[] traces = NewTraces(columns: 4);
        var exchange = new SnapshotExchange(traces, readers: 1);
        TraceSnapshot snapshot = exchange.CreateSnapshot();
        var axis = new ColumnAxis(0, 4, 0, 4_095, false, false, false);
        Assert.False(exchange.Read(snapshot));

        var writer = new Writer(traces);
        writer.Draw(0, 0, 4);
        exchange.Publish(100, axis);
        writer.Draw(1, 0, 2);

        Assert.True(exchange.Read(snapshot));
        Assert.Equal(1, snapshot.Version);
        Assert.Equal(100, snapshot.EndPosition);
        Assert.Same(axis, snapshot.Axis);
        Assert.Equal([0, 0, 0, 0], snapshot.Traces[1].SweepNumbers.ToArray());
        Assert.Null(Fault(snapshot.Traces));
        Assert.False(exchange.Read(snapshot));

        exchange.Publish(101, axis);
        Assert.True(exchange.Read(snapshot));
        Assert.Equal([1, 1, 0, 0], snapshot.Traces[1].SweepNumbers.ToArray());
        Assert.Equal(1, snapshot.Traces[1].Front);
    }

    [Fact]
    public void Read_StorageOfAnotherExchange_Throws()
    {
        Trace[] traces = NewTraces(columns: 4);

        Assert.Throws<ArgumentException>(() => new SnapshotExchange(traces, 1).Read(new SnapshotExchange(traces, 1).CreateSnapshot()));
        Assert.Throws<ArgumentOutOfRangeException>(() => new SnapshotExchange(traces, 0));
        Assert.Throws<ArgumentOutOfRangeException>(() => new SnapshotExchange(traces, SnapshotExchange.MaxReaders + 1));
    }

    [Fact]
    public void PublishAndRead_StateAfterState_AllocateNothing()
    {
        Trace[] traces = NewTraces(columns: 50);
        var exchange = new SnapshotExchange(traces, readers: 2);
        TraceSnapshot snapshot = exchange.CreateSnapshot();
        var writer = new Writer(traces);
        int sweep = 0;

        Allocation.AssertNone(() =>
        {
            writer.Draw(sweep, 0, 20);
            exchange.Publish(sweep, null);
            writer.Draw(sweep, 20, 50);
            exchange.Publish(sweep, null);
            exchange.Read(snapshot);
            sweep++;
        });
    }

    // In sweep k every scan carries a code of k, so a whole state is sweep k up to the front and sweep k-1 beyond it, in every detector and
    // every vertical. The writer never pauses. The same check must catch the copies that are made without the exchange.
    [Fact]
    public async Task Read_WriterAtFullSpeedAndThreeReaders_EverySnapshotIsWholeAndAnUnguardedCopyIsNot()
    {
        const int Columns = 120, WantedReads = 60;
        CancellationToken cancel = TestContext.Current.CancellationToken;
        Trace[] traces = NewTraces(Columns);
        var exchange = new SnapshotExchange(traces, readers: 2);
        var writer = new Writer(traces);
        writer.Draw(0, 0, Columns);
        exchange.Publish(0, null);
        using var stop = new CancellationTokenSource(TimeSpan.FromSeconds(60));
        int[] reads = new int[3];
        int torn = 0;

        // Three readers share two slots: the third waits for another reader at times, never for the writer.
        Task<string?> Reader(int number) => Task.Factory.StartNew(
            () =>
            {
                TraceSnapshot snapshot = exchange.CreateSnapshot();
                long version = 0;
                while (!stop.IsCancellationRequested)
                {
                    if (!exchange.Read(snapshot))
                    {
                        Thread.Yield();
                        continue;
                    }

                    reads[number]++;
                    if (snapshot.Version <= version) return $"Version {snapshot.Version} came after {version}.";
                    version = snapshot.Version;
                    if (Fault(snapshot.Traces) is { } fault) return fault;
                }

                return null;
            },
            cancel, TaskCreationOptions.LongRunning, TaskScheduler.Default);
        Task unguarded = Task.Factory.StartNew(
            () =>
            {
                while (!stop.IsCancellationRequested)
                {
                    if (FaultOfUnguardedCopy(traces)) Interlocked.Increment(ref torn);
                }
            },
            cancel, TaskCreationOptions.LongRunning, TaskScheduler.Default);
        Task<string?>[] readers = [Reader(0), Reader(1), Reader(2)];
        int sweep = 1;
        while (!stop.IsCancellationRequested && !readers.Any(r => r.IsCompleted) && !(reads.All(r => r >= WantedReads) && torn > 0))
        {
            for (int c = 0; c < Columns; c += 13)
            {
                writer.Draw(sweep, c, Math.Min(c + 13, Columns));
                exchange.Publish(sweep, null);
            }

            sweep++;
        }

        await stop.CancelAsync();
        await unguarded;
        foreach (Task<string?> reader in readers) Assert.Null(await reader);
        Assert.All(reads, r => Assert.True(r >= WantedReads, $"{r} reads."));
        Assert.True(torn > 0, "No unguarded copy was torn, so this test could not have seen a torn snapshot.");
    }

    [Fact]
    public void Publish_WhileAReaderHoldsItsPinForever_GoesOn()
    {
        Trace[] traces = NewTraces(columns: 4);
        var exchange = new SnapshotExchange(traces, readers: 2);
        var writer = new Writer(traces);
        TraceSnapshot snapshot = exchange.CreateSnapshot();
        exchange.Pins.Pin(out _);

        for (int sweep = 0; sweep < 100; sweep++)
        {
            writer.Draw(sweep, 0, 4);
            exchange.Publish(sweep, null);
            Assert.True(exchange.Read(snapshot));
            Assert.Equal(sweep, snapshot.EndPosition);
            Assert.Null(Fault(snapshot.Traces));
        }
    }

    private static Trace[] NewTraces(int columns) => [new Trace(columns, Given.AllDomains), new Trace(columns, Given.AllDomains)];

    private static ushort CodeOf(long sweep, int vertical) => (ushort)(((sweep * 7) + vertical) % 4_096);

    private static bool FaultOfUnguardedCopy(Trace[] traces)
    {
        Trace[] copies = NewTraces(traces[0].ColumnCount);
        for (int i = 0; i < traces.Length; i++) copies[i].CopyFrom(traces[i]);
        return Fault(copies) is not null;
    }

    /// <returns>Null for a whole state, otherwise what is torn.</returns>
    private static string? Fault(IReadOnlyList<Trace> traces)
    {
        for (int v = 0; v < traces.Count; v++)
        {
            Trace trace = traces[v];
            if (trace.SweepNumber != traces[0].SweepNumber || trace.Front != traces[0].Front)
                return $"Vertical {v} is at column {trace.Front} of sweep {trace.SweepNumber}, vertical 0 at {traces[0].Front} of {traces[0].SweepNumber}.";
            long last = trace.SweepNumber >= 0 ? trace.SweepNumber : trace.SweepNumbers[^1];
            int front = trace.SweepNumber >= 0 ? trace.Front : trace.ColumnCount - 1;
            for (int c = 0; c < trace.ColumnCount; c++)
            {
                long sweep = c <= front ? last : last - 1;
                if (trace.SweepNumbers[c] != sweep) return $"Column {c} is of sweep {trace.SweepNumbers[c]}, not {sweep}; the front is at {front}.";
                if (sweep >= 0 && FaultOf(trace, c, CodeOf(sweep, v)) is { } fault) return $"Column {c} of sweep {sweep}: {fault}";
            }
        }

        return null;
    }

    private static string? FaultOf(Trace trace, int column, ushort code)
    {
        ColumnStatistics s = trace.Columns;
        if (s.Counts[column] != Scans) return "count";
        if (s.HighestCodes[column] != code || s.LowestCodes[column] != code || s.LastCodes[column] != code) return "peak, minimum or sample";
        if (s.CodeSums[column] != Scans * code || s.CodeSquareSums[column] != (UInt128)(Scans * code * code)) return "sums";
        foreach (AveragingDomain domain in Given.AllDomains)
            if (s.DomainSums(domain)[column] != (Int128)Scans * Converter.Tables[(int)domain]![code]) return $"{domain} sum";
        return trace.Ages[column] == (trace.SweepNumbers[column] * 10_000) + column ? null : "age";
    }

    private sealed class Writer(Trace[] traces)
    {
        private readonly ColumnStatistics _column = new(1, Given.AllDomains);

        public void Draw(int sweep, int firstColumn, int endColumn)
        {
            for (int v = 0; v < traces.Length; v++)
            {
                Trace trace = traces[v];
                _column.Clear();
                for (int i = 0; i < Scans; i++) _column.Add(0, CodeOf(sweep, v), Converter.Tables);
                if (firstColumn == 0) trace.BeginSweep(sweep);
                for (int c = firstColumn; c < endColumn; c++)
                {
                    trace.PublishColumn(c, _column, 0, sweep, ((long)sweep * 10_000) + c);
                    trace.AdvanceFront(c);
                }

                if (endColumn == trace.ColumnCount) trace.EndSweep(reachedEnd: true);
                trace.EndPublish();
            }
        }
    }
}
