using Acquire.Columns;
using Acquire.Scales;
using Acquire.Sweeps;
using Acquire.Traces;

namespace Acquire.Bench.Traces;

/// <summary>All that a program with everything on does when a sweep has ended, in parts that can be timed, for one vertical with two averaging domains.</summary>
/// <remarks>The vertical has volts and levels; what is kept is in level.</remarks>
internal sealed class SweepEnds
{
    public const int Columns = 1_000;

    // So many that no branch learns them by heart, so few that they stay where a sweep just taken would be.
    private const int Sweeps = 8;
    private const int ScansPerColumn = 20;
    private const int DomainCount = 2;

    private readonly AveragingDomain[] _domains;
    private readonly ColumnStatistics[] _sweeps = new ColumnStatistics[Sweeps];
    private readonly TraceColumns[] _plain;
    private readonly TraceColumns _copy;
    private readonly ColumnMarks[] _marks = new ColumnMarks[Columns];
    private readonly ReadingDoubts[] _doubts = new ReadingDoubts[Columns];
    private readonly long[] _positions = new long[Columns];
    private readonly double[] _values = new double[Columns];
    private readonly ColumnValues _reader;
    private readonly PeakHold _hold;
    private readonly TraceAverage _average;
    private readonly TraceNormaliser _normaliser;
    private readonly SweepHistory _history;
    private readonly Trace _trace;
    private readonly SnapshotExchange _exchange;
    private readonly TraceSnapshot _snapshot;
    private readonly ColumnAxis _axis;
    private long _number;

    public SweepEnds(int historyDepth, VerticalLaw law, AveragingDomain? domain)
    {
        _domains = [AveragingDomain.Level, domain == AveragingDomain.Voltage ? AveragingDomain.Voltage : AveragingDomain.Power];
        _copy = new TraceColumns(Columns, _domains);
        _trace = new Trace(Columns, _domains);
        VerticalScale scale = new()
        {
            Law = law,
            Volts = new(0m, 4.095m),
            Level = law == VerticalLaw.Logarithmic ? [new(0m, -100m), new(4m, -20m)] : [new(4m, -20m)],
        };
        var converter = new VerticalConverter(scale, 4_095, _domains);
        var random = new Random(20_261_128);
        for (int s = 0; s < Sweeps; s++) _sweeps[s] = Draw(random, converter);
        _plain = [.. _sweeps.Select(PlainOf)];
        for (int c = 0; c < Columns; c++) _positions[c] = (c + 1) * ScansPerColumn;

        ValueChoice average = new(Detector.Average, ValueUnit.Level, domain);
        _axis = new ColumnAxis(0, Columns, 0, 4_095, StartsHigh: false, Learnt: false, Provisional: false);
        _reader = new ColumnValues(converter);
        _hold = new PeakHold(_reader, Columns, ValueUnit.Level);
        _average = new TraceAverage(_reader, Columns, average, AveragingMode.Running, 16);
        _history = new SweepHistory(_reader, Columns, average, historyDepth);
        TraceConditions conditions = new() { Choice = average, Scale = scale, FullCode = 4_095, Axis = _axis };
        double[] reference = new double[Columns];
        _reader.Read(_sweeps[0], average, reference);
        _normaliser = new TraceNormaliser(conditions, new TraceReference(conditions, reference, _marks, 1), TraceFloor.Stated(-95));
        _exchange = new SnapshotExchange([_trace], readers: 1);
        _snapshot = _exchange.CreateSnapshot();
    }

    /// <summary>Bytes of one trace: the sum of its arrays.</summary>
    public static int TraceBytes { get; } =
        Columns * ((3 * sizeof(ushort)) + (2 * sizeof(long)) + 16 + (DomainCount * 16) + (2 * sizeof(long)) + sizeof(ColumnMarks));

    /// <summary>Copies every byte of a trace, array by array.</summary>
    public void Copy() => _copy.CopyAll(_plain[Next()]);

    /// <summary>A whole sweep into the trace: its columns, its end, the publish.</summary>
    public void Completion()
    {
        ColumnStatistics sweep = Fresh();
        _trace.BeginSweep(_number);
        _trace.SettleSweep();
        _trace.PublishColumns(0, Columns, gaps: [], sweep, _number, _positions, _marks, ColumnMarks.None);
        _trace.EndSweep(reachedEnd: true);
        _trace.EndPublish();
    }

    public void Hold() => _hold.Take(Info(), Fresh(), _marks);

    public void Average() => _average.Take(Info(), Fresh(), _marks);

    /// <summary>The average as it stands, with the reference taken off: what a display reads after a sweep.</summary>
    public void Normalise()
    {
        Next();
        _average.Read(_values);
        _normaliser.Apply(_values, _average.Marks, _values, _doubts);
    }

    public void HistoryRow() => _history.Take(Info(), Fresh(), _marks);

    /// <summary>The trace, all of it changed, to the exchange and on to a reader.</summary>
    public void Snapshot()
    {
        _exchange.Publish(_number * Columns * ScansPerColumn, _axis);
        _exchange.Read(_snapshot);
    }

    private ColumnStatistics Fresh() => _sweeps[Next()];

    private int Next() => (int)(++_number % Sweeps);

    private SweepInfo Info() => new() { Number = _number, Complete = true, EndReason = SweepEnd.Retrace };

    private ColumnStatistics Draw(Random random, VerticalConverter converter)
    {
        var columns = new ColumnStatistics(Columns, _domains);
        for (int c = 0; c < Columns; c++)
        {
            int middle = 2_000 + (int)(1_500 * Math.Sin(c / 70.0));
            for (int i = 0; i < ScansPerColumn; i++) columns.Add(c, (ushort)(middle + random.Next(-200, 201)), converter.Tables);
        }

        return columns;
    }

    private TraceColumns PlainOf(ColumnStatistics sweep)
    {
        var columns = new TraceColumns(Columns, _domains);
        columns.Statistics.CopyFrom(sweep);
        return columns;
    }
}
