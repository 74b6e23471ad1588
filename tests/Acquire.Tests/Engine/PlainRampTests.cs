using Acquire.Capture;
using Acquire.Columns;
using Acquire.Sweeps;

namespace Acquire.Tests.Engine;

/// <summary>Ramps without noise, written scan by scan, where what must come out can be counted by hand.</summary>
public class PlainRampTests
{
    private const int Leg = 2_000;
    private const int Low = 400;
    private const int High = 3_600;

    private static Setup BothWays => new()
    {
        Sweep = new SweepOptions { Direction = RampDirection.Both, Edges = new SweepEdges(Low, High) },
        Columns = new ColumnOptions { ColumnCount = 100 },
    };

    private static Setup WithBlanking => new()
    {
        Scan = new ScanFormat { Roles = [ChannelRole.Ramp, ChannelRole.Vertical, ChannelRole.Blanking] },
        Sweep = new SweepOptions { Edges = new SweepEdges(Low, High), Blanking = new BlankingOptions() },
        Columns = new ColumnOptions { ColumnCount = 100 },
    };

    // A column for each code, half a scan of skew.
    private static Setup Skewed => new()
    {
        Sweep = new SweepOptions { Edges = new SweepEdges(Low, High) },
        Columns = new ColumnOptions { ColumnCount = High - Low, Placement = Placement.Direct, SkewScans = 0.5 },
    };

    // Readings say where in the leg they were taken.
    private static void Draw(List<ushort> words, bool rising)
    {
        for (int i = 0; i < Leg; i++)
        {
            double share = (double)i / (Leg - 1);
            words.Add((ushort)Math.Round(rising ? Low + (share * (High - Low)) : High - (share * (High - Low))));
            words.Add((ushort)i);
        }
    }

    // Who says that a ramp draws both ways has said how its first leg is to be read, whichever it is.
    [Theory]
    [InlineData(true)]
    [InlineData(false)]
    public void BothWays_OneLeg_IsASweepItsOwnWay(bool rising)
    {
        List<ushort> words = [];
        Draw(words, rising);
        SweepRecord record = new();
        SweepEngine engine = new(BothWays, record);

        engine.Process(words.ToArray());
        engine.Complete();

        SweepRecord.Kept sweep = Assert.Single(record.Sweeps);
        Assert.Equal(rising ? RampDirection.Rising : RampDirection.Falling, sweep.Info.Direction);
        Assert.InRange(engine.Accounting.InColumns, Leg - 4, Leg);
        // Column 0 is the low end: read first on the way up, last on the way down.
        ColumnStatistics columns = sweep.Verticals[0];
        Assert.Equal(rising, columns.HighestCodes[1] < columns.LowestCodes[98]);
    }

    [Fact]
    public void BothWays_LegGapLeg_AreTwoSweepsEachItsOwnWay()
    {
        List<ushort> down = [], up = [];
        Draw(down, rising: false);
        Draw(up, rising: true);
        SweepRecord record = new();
        SweepEngine engine = new(BothWays, record);

        engine.Process(down.ToArray());
        engine.Skip(50, GapCause.Link);
        engine.Process(up.ToArray());
        engine.Complete();

        Assert.Equal([RampDirection.Falling, RampDirection.Rising], record.Sweeps.Select(s => s.Info.Direction));
        Assert.InRange(engine.Accounting.InColumns, (2 * Leg) - 8, 2 * Leg);
    }

    // The line is low all through the first two sweeps, so that nothing says yet which level it has when the beam is off.
    [Theory]
    [InlineData(1)]
    [InlineData(4_096)]
    public void Blanking_FirstSeenAfterTheRampWasFound_IsLearntFromThatSweepOn(int scansPerCall)
    {
        const int Retrace = 200, Sweeps = 6, Pulse = 100;
        List<ushort> words = [];
        for (int sweep = 0; sweep < Sweeps; sweep++)
        {
            for (int i = 0; i < Leg; i++)
                words.AddRange([(ushort)(Low + (i * (High - Low) / Leg)), 1_000, (ushort)(sweep >= 2 && i is >= 900 and < 900 + Pulse ? 4_000 : 100)]);
            for (int i = 0; i < Retrace; i++) words.AddRange([(ushort)(High - (i * (High - Low) / Retrace)), 1_000, 100]);
        }

        SweepRecord record = new();
        SweepEngine engine = new(WithBlanking, record);
        ushort[] all = [.. words];
        for (int at = 0; at < all.Length; at += 3 * scansPerCall) engine.Process(all.AsSpan(at, Math.Min(3 * scansPerCall, all.Length - at)));
        engine.Complete();

        Assert.Equal(Sweeps, record.Sweeps.Count);
        // Sweep 2 shows both levels; when it has ended it is known which is which.
        Assert.Equal((Sweeps - 3) * Pulse, engine.Accounting.Blanked);
    }

    // The first sweep is gone through again when the ramp is found; then the scans behind the loss are there already.
    [Theory]
    [InlineData(true)]
    [InlineData(false)]
    public void Skew_LastScanBeforeALoss_LiesWhereItDoesInALaterSweep(bool gap)
    {
        const int Step = 3, Scans = (High - Low) / Step, Cut = 531, Lost = 20;
        ushort[] OneSweep(int from, int to) => [.. Enumerable.Range(from, to - from).SelectMany(i => (ushort[])[(ushort)(Low + (i * Step)), 1_000])];
        ushort[] back = [.. Enumerable.Range(0, 100).SelectMany(i => (ushort[])[(ushort)(High - (i * (High - Low) / 100)), 1_000]), .. Enumerable.Repeat((ushort[])[Low, 1_000], 50).SelectMany(w => w)];
        SweepRecord record = new();
        SweepEngine engine = new(Skewed, record);
        for (int sweep = 0; sweep < 5; sweep++)
        {
            engine.Process(OneSweep(0, sweep is 0 or 3 ? Cut : Scans));
            if (sweep is 0 or 3)
            {
                if (gap) engine.Skip(Lost, GapCause.Link);
                else engine.Break(GapCause.Reset);
                engine.Process(OneSweep(Cut + Lost, Scans));
            }

            engine.Process(back);
        }

        engine.Complete();
        int[] last = [.. record.Sweeps.Where(s => s.Info.EndReason is SweepEnd.Gap or SweepEnd.Break).Select(s => s.Verticals[0].Counts.ToArray().ToList().FindLastIndex(n => n > 0))];
        Assert.Equal(2, last.Length);
        // Half a scan on from the code of the last scan, as far as the scan before it says.
        Assert.Equal([((Cut - 1) * Step) + (Step / 2), ((Cut - 1) * Step) + (Step / 2)], last);
    }
}
