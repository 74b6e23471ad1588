using Acquire.Capture;
using Acquire.Columns;
using Acquire.Scales;
using Acquire.Sweeps;
using Acquire.Tests.Doubles;
using Acquire.Tests.Traces;
using Acquire.Traces;

namespace Acquire.Tests.Engine;

/// <summary>Once built and locked, nothing allocates: engine, hold, average, history and snapshots, whatever happens in the stream.</summary>
[Collection(nameof(Alone))]
public class SteadyStateTests
{
    private static readonly ChannelRole[] Two = [ChannelRole.Ramp, ChannelRole.Vertical];
    private static readonly ChannelRole[] Three = [ChannelRole.Vertical, ChannelRole.Ramp, ChannelRole.Vertical];

    private static readonly ChannelRole[] Eight =
    [
        ChannelRole.Auxiliary, ChannelRole.Vertical, ChannelRole.Ramp, ChannelRole.Blanking,
        ChannelRole.Vertical, ChannelRole.Auxiliary, ChannelRole.Vertical, ChannelRole.Auxiliary,
    ];

    public static TheoryData<int, int, int, bool> Cases
    {
        get
        {
            TheoryData<int, int, int, bool> cases = [];
            foreach (int columns in (int[])[2, 1_000, 65_536])
                foreach (int channels in (int[])[2, 3, 8])
                    foreach (int domains in (int[])[0, 1, 3])
                        cases.Add(columns, channels, domains, (columns + channels + domains) % 2 == 0);

            return cases;
        }
    }

    [Theory]
    [MemberData(nameof(Cases))]
    public void Process_SeveralSweepsWithFaults_AllocatesNothing(int columns, int channels, int domains, bool learns)
    {
        ChannelRole[] roles = channels switch { 2 => Two, 3 => Three, _ => Eight };
        var setup = new Setup
        {
            Scan = new ScanFormat { Roles = roles, ScanRateHz = 1_000 },
            Verticals = [.. roles.Where(r => r == ChannelRole.Vertical).Select(_ => Given.Logarithmic)],
            Sweep = new SweepOptions { Edges = learns ? null : new SweepEdges(200, 3_800), Blanking = new BlankingOptions { LeadSeconds = channels == 8 ? -0.01 : 0 } },
            Columns = new ColumnOptions
            {
                ColumnCount = columns,
                Placement = learns ? Placement.Fitted : Placement.Direct,
                Domains = Given.AllDomains[..domains],
                SkewScans = 0.3,
                VideoDelaySeconds = 0.002,
                FillOverSweeps = 1,
            },
        };
        var sink = new TraceWork(setup);
        var engine = new SweepEngine(setup, sink, 1 << 14);
        sink.Start(engine);
        SnapshotExchange exchange = engine.ShareSnapshots(readers: 2);
        TraceSnapshot snapshot = exchange.CreateSnapshot();
        ushort[] sweep = Sweep(roles, 900), aborted = Sweep(roles, 400);
        for (int i = 0; i < 8; i++) engine.Process(sweep);
        Assert.True(engine.Ramp.Present);
        long before = sink.Sweeps, position = engine.Accounting.Scans + engine.Accounting.Lost;

        Allocation.AssertNone(
            () =>
            {
                engine.Process(sweep);
                engine.Process(aborted);
                engine.Process(sweep.AsSpan(0, 500 * roles.Length));
                engine.Skip(30, GapCause.Link);
                engine.Process(sweep.AsSpan(530 * roles.Length));
                exchange.Read(snapshot);
                engine.Process(sweep.AsSpan(0, 300 * roles.Length), suspect: true);
                engine.Process(sweep.AsSpan(300 * roles.Length));
                engine.Process(sweep.AsSpan(0, 700 * roles.Length));
                engine.Break(GapCause.Reset);
                position = engine.Accounting.Scans + engine.Accounting.Lost;
                engine.Mark(position, 5);
                engine.Process(sweep);
                exchange.Read(snapshot);
                sink.Read();
            },
            runs: columns > 1_000 ? 2 : 6);

        Assert.True(sink.Sweeps - before >= 4 * 5, $"{sink.Sweeps - before} sweeps.");
        Assert.True(sink.Average.SweepsTaken > 0 && sink.Hold.SweepsTaken > 0 && sink.History.Count > 0);
        Assert.True(snapshot.Version > 0);
    }

    /// <summary>A sweep from code 200 towards 3,800 over 900 scans, its flyback and rest; verticals and blanking follow.</summary>
    private static ushort[] Sweep(ChannelRole[] roles, int scans)
    {
        List<ushort> words = [];
        int reached = 200 + (4 * scans);
        for (int i = 0; i < scans + 100; i++)
        {
            int ramp = i < scans ? 200 + (4 * i) : Math.Max(200, reached - ((i - scans + 1) * 150));
            foreach (ChannelRole role in roles)
            {
                words.Add((ushort)(role switch
                {
                    ChannelRole.Ramp => ramp,
                    ChannelRole.Blanking => i < scans ? 100 : 3_900,
                    _ => 1_000 + (i * 37 % 700),
                }));
            }
        }

        return [.. words];
    }

    /// <summary>All that an embedder keeps across sweeps, for the first vertical.</summary>
    private sealed class TraceWork(Setup setup) : ISweepSink
    {
        private readonly double[] _values = new double[setup.Columns.ColumnCount];
        private PeakHold? _hold;
        private TraceAverage? _average;
        private SweepHistory? _history;
        private ColumnValues? _reader;
        private SweepEngine? _engine;

        public PeakHold Hold => _hold!;

        public TraceAverage Average => _average!;

        public SweepHistory History => _history!;

        public long Sweeps { get; private set; }

        public void Start(SweepEngine engine)
        {
            _engine = engine;
            _reader = new ColumnValues(engine.Verticals[0]);
            ValueChoice choice = setup.Columns.Domains.Count == 0
                ? new ValueChoice(Detector.Average, ValueUnit.Code)
                : new ValueChoice(Detector.Average, ValueUnit.Level, setup.Columns.Domains[^1]);
            int columns = setup.Columns.ColumnCount;
            _hold = new PeakHold(_reader, columns);
            _average = new TraceAverage(_reader, columns, choice, AveragingMode.Running, 8);
            _history = new SweepHistory(_reader, columns, choice, depth: 3);
        }

        public void SweepEnded(in SweepView sweep)
        {
            Sweeps++;
            _hold!.Take(sweep.Info, sweep.Verticals[0], sweep.Marks);
            _average!.Take(sweep.Info, sweep.Verticals[0], sweep.Marks);
            _history!.Take(sweep.Info, sweep.Verticals[0], sweep.Marks);
        }

        public void Read()
        {
            _average!.Read(_values);
            _reader!.Read(_engine!.Traces[0].Columns, new ValueChoice(Detector.Rms, ValueUnit.Code), _values);
        }
    }
}
