using Acquire.Capture;
using Acquire.Columns;
using Acquire.Sources.Synthetic;
using Acquire.Sweeps;

namespace Acquire.Tests.Engine;

/// <summary>A blanking line that changes before the beam does, or after it.</summary>
public class BlankingLeadTests
{
    private const double Rate = 100_000;

    // The ramp halts for 3,000 scans with the beam off: a scan that is blanked wrongly, or not, is one of a column too few or too many.
    private static SyntheticOptions Bench(double leadScans) => new()
    {
        Seed = 12,
        ScanRateHz = Rate,
        Sweeps = 4,
        Roles = [ChannelRole.Ramp, ChannelRole.Vertical, ChannelRole.Blanking],
        Ramp = new RampModel { NoiseCodes = 1, Pause = new PauseModel(0.4, 3_000, Blanked: true) },
        Sweep = new SweepTiming { SweepScans = 10_000, RetraceScans = 1_000, RestScans = 600 },
        Verticals = [new VerticalModel { NoiseCodes = 3 }],
        Blanking = new BlankingModel { LeadScans = leadScans },
    };

    [Theory]
    [InlineData(1, 1_000)]
    [InlineData(200, 1_000)]
    [InlineData(1_700, 1_000)]
    [InlineData(-1, 1_000)]
    [InlineData(-200, 7)]
    [InlineData(-200, 1_000)]
    [InlineData(-1_700, 4_096)]
    public void Columns_LineBeforeOrAfterTheBeam_AreThoseOfALineInTime(int leadScans, int scansPerCall)
    {
        SweepRecord inTime = Sweeps(0, scansPerCall), shifted = Sweeps(leadScans, scansPerCall);

        Assert.Equal(4, inTime.Sweeps.Count);
        // The pause's scans but the few around its ends that the line's own noise decides; they are the same in both.
        Assert.All(inTime.Sweeps, sweep => Assert.InRange(sweep.Info.ScansInColumns, 9_950, 10_010));
        Assert.Equal(inTime.Sweeps.Select(s => (s.Info, s.Hash)), shifted.Sweeps.Select(s => (s.Info, s.Hash)));
    }

    // The line said before the loss what held ten scans later, which are among the lost ones.
    [Theory]
    [InlineData(10)]
    [InlineData(-10)]
    public void Process_LossWhileTheLineIsAheadOrBehind_EachSideIsBlankedByItsOwnLine(int leadScans)
    {
        const int Side = 100, LostScans = 100_000;
        SweepOptions byTime = new()
        {
            Mode = SweepMode.Time,
            TimeSpan = 500 / Rate,
            Blanking = new BlankingOptions { HighIsBlanked = true, ThresholdCode = 2_000, LeadSeconds = leadScans / Rate },
        };
        SweepEngine engine = new(SetupOf(leadScans) with { Sweep = byTime }, new SweepRecord(keepsColumns: false), 1 << 12);

        for (int i = 0; i < Side; i++) engine.Process([1_000, 700, 4_000]);
        engine.Skip(LostScans, GapCause.Link);
        for (int i = 0; i < Side; i++) engine.Process([1_000, 700, 10]);
        engine.Complete();

        Assert.Equal((Side, Side), (engine.Accounting.Blanked, engine.Accounting.InColumns));
    }

    [Fact]
    public void Process_LineLags_EveryScanIsAccountedForWhileItWaitsAndMarksAndLossesLieWhereTheyAreSaid()
    {
        const int Lag = 500;
        ScanStream stream = ScanStream.Of(Bench(-Lag));
        SweepRecord sweeps = new(keepsColumns: false);
        SweepEngine engine = new(SetupOf(-Lag), sweeps, 1 << 16);

        for (int from = 0; from < 40_000; from += 1_000)
        {
            stream.Feed(engine, from, from + 1_000);
            Accounting where = engine.Accounting;
            Assert.Equal(from + 1_000, where.Scans);
            Assert.Equal(where.Scans, where.InColumns + where.Overscan + where.Retrace + where.Rest + where.Blanked + where.Unassigned);
        }

        engine.Mark(40_000, 7);
        Assert.Throws<ArgumentOutOfRangeException>(() => engine.Mark(40_001, 8));
        engine.Skip(123, GapCause.Link);
        SweepInfo cut = sweeps.Sweeps[^1].Info;
        Assert.Equal((SweepEnd.Gap, 40_000L), (cut.EndReason, cut.EndScan));
        stream.Feed(engine, 40_000, stream.Scans);
        engine.Complete();
        Assert.Equal(stream.Scans, engine.Accounting.Scans);
        Assert.Equal((40_000L, (ushort?)7), (sweeps.Sweeps.First(s => s.Info.StartScan >= 40_000).Info.StartScan, sweeps.Sweeps[^1].Info.MarkWord));
    }

    private static SweepRecord Sweeps(int leadScans, int scansPerCall)
    {
        ScanStream stream = ScanStream.Of(Bench(leadScans));
        SweepRecord record = new();
        SweepEngine engine = new(SetupOf(leadScans), record, 1 << 16);
        stream.Feed(engine, 0, stream.Scans, () => scansPerCall);
        stream.Complete(engine);
        return record;
    }

    // Levels and polarity are given: learnt from a line that is early or late they would be known sooner or later.
    private static Setup SetupOf(int leadScans)
    {
        Setup setup = Engines.SetupFor(Bench(leadScans), learns: false, columns: 1_000, Placement.Fitted);
        return setup with
        {
            Sweep = setup.Sweep with { Blanking = new BlankingOptions { HighIsBlanked = true, ThresholdCode = 2_000, HysteresisCodes = 100, LeadSeconds = leadScans / Rate } },
        };
    }
}
