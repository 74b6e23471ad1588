using System.CommandLine;
using Acquire.Capture;
using Acquire.Columns;
using Acquire.Harness.Options;
using Acquire.Harness.Shell;
using Acquire.Scales;
using Acquire.Sweeps;

namespace Acquire.Harness.Tests.Options;

public class SetupOptionsTests
{
    private static readonly string[] BenchScales =
    [
        "--bits", "12", "--ramp-volts=-5.5,5.5", "--vertical-volts=0.1,-1.1", "--axis", "5kHz,55kHz", "--level", "0V=-100dB,-1V=0dB",
    ];

    [Fact]
    public void Override_NothingGiven_KeepsTheStart()
    {
        Setup start = new() { Columns = new ColumnOptions { ColumnCount = 77 } };

        Assert.Equal(start, Override([], start));
    }

    [Fact]
    public void Override_EveryScaleGiven_IsWhatWasSaid()
    {
        Setup setup = Override([.. BenchScales, "--columns", "500", "--skew", "0.5", "--video-delay", "0.8ms", "--edges=-5,5", "--direction", "rising"]);

        Assert.Equal(new CodeVolts(-5.5m, 5.5m), setup.RampVolts);
        Assert.Equal(new SweepAxis(5_000, 55_000), setup.Axis! with { Shape = new SweepAxis(0, 1).Shape });
        Assert.Equal(new SweepEdges(-5, 5), setup.Sweep.Edges);
        Assert.Equal(RampDirection.Rising, setup.Sweep.Direction);
        Assert.Equal((500, 0.5, 0.0008), (setup.Columns.ColumnCount, setup.Columns.SkewScans, setup.Columns.VideoDelaySeconds));
        VerticalScale vertical = Assert.Single(setup.Verticals);
        Assert.Equal([new LevelPoint(0, -100), new LevelPoint(-1, 0)], vertical.Level);
        Assert.Equal("dB", vertical.LevelUnit);
    }

    [Theory]
    [InlineData("0.1,-1.1", "0V=-100dB,-1V=0dB", SignalUp.CodesRise)] // volts fall with codes, level falls with volts
    [InlineData("-1.1,0.1", "0V=-100dB,-1V=0dB", SignalUp.CodesFall)]
    [InlineData("0,1", "0V=-80dBm,1V=0dBm", SignalUp.CodesRise)]
    [InlineData("1,0", "0V=-80dBm,1V=0dBm", SignalUp.CodesFall)]
    public void Override_Level_ImpliesWhichWayIsUp(string volts, string level, SignalUp up)
    {
        Setup setup = Override([$"--vertical-volts={volts}", "--level", level]);

        Assert.Equal((up, VerticalLaw.Logarithmic), (setup.Verticals[0].Up, setup.Verticals[0].Law));
    }

    [Theory]
    [InlineData("--ramp-volts=NaN,5", "--ramp-volts")]
    [InlineData("--ramp-volts=5,5", "--ramp-volts")]
    [InlineData("--ramp-volts=5", "--ramp-volts")]
    [InlineData("--vertical-volts=1e400,5", "--vertical-volts")]
    [InlineData("--columns=0", "--columns")]
    [InlineData("--columns=1000000000", "--columns")]
    [InlineData("--columns=99999999999999999999", "--columns")]
    [InlineData("--columns=ten", "--columns")]
    [InlineData("--bits=17", "--bits")]
    [InlineData("--skew=-0.5", "--skew")]
    [InlineData("--skew=NaN", "--skew")]
    [InlineData("--video-delay=0.8", "--video-delay")]
    [InlineData("--video-delay=-1ms", "--video-delay")]
    [InlineData("--axis=5kHz", "--axis")]
    [InlineData("--axis=5kHz,5s", "--axis")]
    [InlineData("--axis=5kHz,5kHz", "--axis")]
    [InlineData("--direction=up", "--direction")]
    [InlineData("--mode=fast", "--mode")]
    [InlineData("--time-span=0s", "--time-span")]
    [InlineData("--placement=best", "--placement")]
    [InlineData("--law=cubic", "--law")]
    [InlineData("--ramp-channel=2", "--ramp-channel")]
    [InlineData("--vertical-channel=0", "--vertical-channel")]
    [InlineData("--level=0V=-100dB,-1V=0dB", "--vertical-volts")] // levels belong to volts
    [InlineData("--edges=-5,5", "--ramp-volts")] // edges are in volts
    public void Override_ValueOutOfRange_IsRefusedWithTheOptionNamed(string argument, string named)
    {
        CommandFailure failure = Assert.Throws<CommandFailure>(() => Override([argument]));

        Assert.Equal(ExitCode.Usage, failure.ExitCode);
        Assert.Contains(named, failure.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void Override_EdgesHighFirst_IsRefused()
    {
        CommandFailure failure = Assert.Throws<CommandFailure>(() => Override(["--ramp-volts=-5.5,5.5", "--edges=5,-5"]));

        Assert.Contains("--edges", failure.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void Override_UpAgainstTheLevel_IsRefused()
    {
        CommandFailure failure = Assert.Throws<CommandFailure>(() => Override([.. BenchScales, "--up", "codes-fall"]));

        Assert.Equal(ExitCode.Usage, failure.ExitCode);
        Assert.Contains("--up", failure.Message, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("--level=0V=-100dB")] // one pair
    [InlineData("--level=0V=-100dB,-1V=0dB,-2V=-50dB")] // level turns back
    [InlineData("--level=0V=-100dB,0V=0dB")] // no slope
    [InlineData("--level=0V=-100dB,-1V=0dBm")] // two units
    [InlineData("--level=0V=-100,-1V=0")] // no unit
    public void Override_LevelThatIsNoScale_IsRefused(string level)
    {
        CommandFailure failure = Assert.Throws<CommandFailure>(() => Override(["--vertical-volts=0,1", level]));

        Assert.Contains("--level", failure.Message, StringComparison.Ordinal);
    }

    // The setup's axis is its ramp's, or that of another span.
    [Theory]
    [InlineData(SweepMode.Swept, 0.5, "--mode", "time", "--time-span", "0.5s")]
    [InlineData(SweepMode.Swept, 2, "--mode", "time")]
    [InlineData(SweepMode.Time, 0.5, "--time-span", "0.5s")]
    [InlineData(SweepMode.Time, 7, "--skew", "0.5")]
    [InlineData(SweepMode.Swept, 3, "--mode", "time", "--time-span", "0.5s", "--axis", "0s,3s")]
    public void Override_TimeBesideAnAxis_TakesTheSpanUnlessTheAxisIsMeant(SweepMode mode, double end, params string[] options)
    {
        SweepAxis axis = mode == SweepMode.Time ? new(0, 7, "s") : new(5_000, 55_000, "Hz");

        Setup setup = Override(options, new Setup { Scan = new ScanFormat { ScanRateHz = 1_000 }, Sweep = new() { Mode = mode, TimeSpan = 2 }, Axis = axis });

        Assert.Equal((0, end, "s"), (setup.Axis!.Start, setup.Axis.End, setup.Axis.Unit));
    }

    [Fact]
    public void Override_TimeModeWithARate_HasAnAxisInSeconds()
    {
        Setup setup = Override(["--mode", "time", "--time-span", "0.5s"], new Setup { Scan = new ScanFormat { ScanRateHz = 1_000 } });

        Assert.Equal(0.5, setup.Sweep.TimeSpan);
        Assert.Equal((0, 0.5, "s"), (setup.Axis!.Start, setup.Axis.End, setup.Axis.Unit));
    }

    [Fact]
    public void Override_RampOnChannelOne_MakesTheOtherTheVertical()
    {
        Setup setup = Override(["--ramp-channel", "1"]);

        Assert.Equal([ChannelRole.Vertical, ChannelRole.Ramp], setup.Scan.Roles);
    }

    // Channels 1 and 2 have scales of their own, channel 3 has none.
    [Theory]
    [InlineData("1", new[] { 1.0 })]
    [InlineData("2", new[] { 1_000.0 })]
    [InlineData("3", new[] { double.NaN })]
    [InlineData("1,3", new[] { 1, double.NaN })]
    [InlineData("3,2", new[] { 1_000, double.NaN })]
    public void Override_OtherVerticals_EachHasTheScaleOfItsChannel(string channels, double[] voltsAtFullCode)
    {
        Setup start = new()
        {
            Scan = new ScanFormat { Roles = [ChannelRole.Ramp, ChannelRole.Vertical, ChannelRole.Vertical, ChannelRole.Auxiliary] },
            Verticals = [new() { Volts = new(0, 1) }, new() { Volts = new(0, 1_000) }],
        };

        Setup setup = Override(["--vertical-channel", channels], start, channels: 4);

        Assert.Equal(voltsAtFullCode, setup.Verticals.Select(v => (double?)v.Volts?.AtFullCode ?? double.NaN));
    }

    [Fact]
    public void Override_TheOnlyVerticalOnAnotherChannel_TakesItsScaleAlong()
    {
        Setup start = new() { Verticals = [new() { Volts = new(0, 5) }] };

        Setup setup = Override(["--ramp-channel", "1", "--vertical-channel", "0"], start, channels: 2);

        Assert.Equal(5, Assert.Single(setup.Verticals).Volts?.AtFullCode);
    }

    [Fact]
    public void Override_TwoVerticals_BothGetTheRole()
    {
        Setup start = new() { Scan = new ScanFormat { Roles = [ChannelRole.Ramp, ChannelRole.Vertical, ChannelRole.Auxiliary] } };

        Setup setup = Override(["--vertical-channel", "1,2", "--vertical-volts=0,1"], start, channels: 3);

        Assert.Equal([ChannelRole.Ramp, ChannelRole.Vertical, ChannelRole.Vertical], setup.Scan.Roles);
        Assert.Equal(2, setup.Verticals.Count);
    }

    private static Setup Override(string[] args, Setup? start = null, int channels = 2)
    {
        Command command = new("test");
        SetupOptions options = new();
        options.AddTo(command);
        ParseResult parsed = command.Parse(args);
        Assert.Empty(parsed.Errors);
        return options.Override(parsed, start ?? new Setup(), channels);
    }
}
