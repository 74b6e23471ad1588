using Acquire.Capture;
using Acquire.Columns;
using Acquire.Scales;
using Acquire.Sweeps;
using Acquire.Traces;

namespace Acquire.Tests.Engine;

/// <summary>A setup that nobody can work with is refused when the engine is built, with value, rule and fix, not where it is used.</summary>
public class SetupRulesTests
{
    private static readonly Setup Start = new() { Scan = new ScanFormat { ScanRateHz = 1_000 } };

    public static TheoryData<string, Setup> Refused => new()
    {
        { "5 to 5 Hz", Start with { Axis = new(5, 5) } },
        { "NaN to 5 Hz", Start with { Axis = new(double.NaN, 5) } },
        { "both must be finite and differ", Start with { Axis = new(0, double.PositiveInfinity, "s") } },
        { "unit is \"kHz\"", Start with { Axis = new(5, 55, "kHz") } },
        { "has 1 points", Start with { Axis = new(0, 1) { Shape = [new(0, 0)] } } },
        { "fraction 0, share 0", Start with { Axis = new(0, 1) { Shape = [new(0.1, 0), new(1, 1)] } } },
        { "turns back", Start with { Axis = new(0, 1) { Shape = [new(0, 0), new(0.5, 0.9), new(0.6, 0.2), new(1, 1)] } } },
        { "turns back", Start with { Axis = new(0, 1) { Shape = [new(0, 0), new(double.NaN, 0.5), new(1, 1)] } } },
        { "1 V at code 0 and at the full code", Start with { RampVolts = new(1, 1) } },
        { "1000001 V; it must lie within", Start with { RampVolts = new(0, 1_000_001) } },
        { "it must lie within +-1000000 V", Start with { RampVolts = new(decimal.MinValue, decimal.MaxValue) } },
        { "2 scales of verticals but 1 channels", Start with { Verticals = [new(), new()] } },
        { "role is 9", Start with { Scan = new() { Roles = [ChannelRole.Ramp, ChannelRole.Vertical, (ChannelRole)9] } } },
        { "Placement is 9", Start with { Columns = new() { Placement = (Placement)9 } } },
        { "averaging domain is 9", Start with { Columns = new() { Domains = [(AveragingDomain)9] } } },
        { "no vertical has level points", Start with { Columns = new() { Domains = [AveragingDomain.Power] } } },
        { "Mode is 9", Start with { Sweep = new() { Mode = (SweepMode)9 } } },
        { "Direction is 9", Start with { Sweep = new() { Direction = (RampDirection)9 } } },
        { "0.001 s at 1000 scans a second", Start with { Sweep = new() { Mode = SweepMode.Time, TimeSpan = 0.001 } } },
        { "1E+300 scans, since no scan rate is known", new Setup { Sweep = new() { Mode = SweepMode.Time, TimeSpan = 1e300 } } },
        { "one pass has 2 to", Start with { Sweep = new() { Mode = SweepMode.Time, TimeSpan = 1e300 } } },
    };

    [Theory]
    [MemberData(nameof(Refused))]
    public void Engine_SetupOutOfItsRange_IsRefusedWithTheValue(string named, Setup setup)
    {
        ArgumentException refusal = Assert.Throws<ArgumentException>(() => new SweepEngine(setup, new SweepRecord(), 1 << 12));

        Assert.Contains(named, refusal.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void Engine_SetupAtTheEndsOfItsRange_IsTaken()
    {
        Setup[] taken =
        [
            Start with { Axis = new(5, -5) { Shape = [new(0, 0), new(1, 1)] } },
            Start with { Verticals = [new()], RampVolts = new(1, -1) },
            Start with { Sweep = new() { Mode = SweepMode.Time, TimeSpan = 0.002 } },
            new Setup { Sweep = new() { Mode = SweepMode.Time } },
            Start with { Sweep = new() { Mode = SweepMode.Swept, TimeSpan = 0.0001 } },
        ];

        foreach (Setup setup in taken) Assert.Same(setup, new SweepEngine(setup, new SweepRecord(), 1 << 12).Setup);
    }

    [Fact]
    public void Engine_DomainThatOneOfTwoVerticalsHas_SumsItForThatOne()
    {
        Setup setup = Start with
        {
            Scan = new() { Roles = [ChannelRole.Ramp, ChannelRole.Vertical, ChannelRole.Vertical] },
            Verticals = [new() { Volts = new(0, 1), Level = [new(0, -80), new(1, 0)] }],
            Sweep = new() { Mode = SweepMode.Time, TimeSpan = 64 },
            Columns = new() { ColumnCount = 2, Domains = [AveragingDomain.Power] },
        };
        SweepEngine engine = new(setup, new SweepRecord(), 1 << 12);

        engine.Process([.. Enumerable.Range(0, 64).SelectMany(scan => (ushort[])[0, 4_095, (ushort)scan])]);

        Assert.Equal(0, LevelOf(0), 1e-6); // full code is 1 V, 0 dB
        Assert.Equal(15.5, engine.Traces[1].Columns.CodeSums[0] / 32.0);

        double LevelOf(int column)
        {
            double[] levels = new double[2];
            ColumnValues values = new(engine.Verticals[0]);
            Assert.Equal(ValueAvailability.Available, values.Read(engine.Traces[0].Columns, new ValueChoice(Detector.Rms, ValueUnit.Level), levels));
            return levels[column];
        }
    }
}
