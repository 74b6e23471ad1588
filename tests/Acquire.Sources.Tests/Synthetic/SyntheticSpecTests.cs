using System.Text.Json;
using Acquire.Capture;
using Acquire.Sources.Synthetic;
using CsCheck;

namespace Acquire.Sources.Tests.Synthetic;

/// <summary>Descriptions of benches: scenario JSON, command-line settings, sources.</summary>
public sealed class SyntheticSpecTests
{
    [Fact]
    public void Parse_ScenarioOfTheManual_GivesItsBench()
    {
        SyntheticOptions options = Parse("""{ "scanRate": "50 kHz", "duration": "4 s", "ramp": "constant", "seed": 7 }""");

        Assert.Equal((50_000.0, 4.0, RampKind.Constant, 7UL), (options.ScanRateHz, options.DurationSeconds, options.Ramp.Kind, options.Seed));
        Assert.Equal((null, null), (options.Scans, options.Sweeps));
        SyntheticBench bench = new(options);
        ushort[] words = new ushort[100_000];
        while (bench.Read(words).Kind != SyntheticReadKind.End) Assert.True(bench.Position <= 200_000);
        Assert.Equal(200_000, bench.Truth.Scans);
    }

    [Fact]
    public void Parse_EverySection_ReachesItsOption()
    {
        SyntheticOptions options = Parse("""
            { "scanRate": "20 kHz", "sweeps": 3, "bits": 14, "channels": ["vertical", "blanking", "ramp"], "axis": ["1 MHz", "2 MHz"],
              "ramp": { "kind": "both", "low": "20 %", "high": 0.4, "noise": 2, "hum": { "amplitude": 10, "frequency": "60 Hz", "overtones": ["50 %", { "share": 0.3, "phase": 0.25 }] },
                        "spikes": { "every": 500, "direction": "up" }, "kink": { "at": 0.5, "fraction": 0.4 },
                        "pause": { "at": 0.3, "time": "10 %", "blanked": true }, "coupling": "1 Hz", "volts": [-5, 5] },
              "sweep": { "time": "0.4 s", "retrace": "10 %", "rest": "40 ms", "restLevel": 0.5, "abortChance": 0.1, "aborts": [ { "sweep": 2, "share": 0.5 } ],
                         "factors": [1, 100], "begin": "retrace", "beginShare": 0.5 },
              "vertical": { "source": "-20 dB", "floor": "-80 dB", "video": "400 Hz", "videoPoles": 2, "law": "voltage", "tones": [ { "frequency": "1.5 MHz", "level": -30 } ],
                            "filter": { "family": "chebyshev", "band": "band-pass", "order": 5, "frequency": "1.5 MHz", "bandwidth": "10 kHz", "ripple": 0.1 } },
              "blanking": { "highIsBlanked": false, "lead": "1 ms" }, "converter": { "skew": 0.5, "missingCodes": 3 },
              "loss": { "gaps": [ { "atScan": 1000, "lostScans": 500 } ], "breakEvery": 5000, "cause": "overrun" } }
            """);

        Assert.Equal([ChannelRole.Vertical, ChannelRole.Blanking, ChannelRole.Ramp], options.Roles);
        Assert.Equal((8_000.0, 800.0, 800.0), (options.Sweep.SweepScans, options.Sweep.RetraceScans, options.Sweep.RestScans));
        Assert.Equal((RampKind.BothWays, 0.2, 0.4), (options.Ramp.Kind, options.Ramp.Low, options.Ramp.High));
        Assert.Equal([new Overtone(0.5), new Overtone(0.3, 0.25)], options.Ramp.Hum!.Overtones);
        Assert.Equal(new Hum(10, 60), options.Ramp.Hum with { Overtones = new Hum(0).Overtones });
        Assert.Equal(new SpikeModel(500, null, SpikeDirection.Up), options.Ramp.Spikes);
        Assert.Equal(new PauseModel(0.3, 800, true), options.Ramp.Pause);
        Assert.Equal([new AbortAt(2, 0.5)], options.Sweep.Aborts);
        Assert.Equal((-20.0, -80.0, 400.0, 2), (options.Verticals[0].SourceDb, options.Verticals[0].NoiseFloorDb, options.Verticals[0].VideoHz, options.Verticals[0].VideoPoles));
        Assert.Equal((FilterFamily.Chebyshev, FilterBand.BandPass, 5, 10_000.0), (options.Verticals[0].Filter!.Family, options.Verticals[0].Filter!.Band, options.Verticals[0].Filter!.Order, options.Verticals[0].Filter!.BandwidthHz));
        Assert.Equal((false, 20.0), (options.Blanking.HighIsBlanked, options.Blanking.LeadScans));
        Assert.Equal((0.5, 3), (options.Converter.SkewScans, options.Converter.MissingCodes));
        Assert.Equal([new GapAt(1_000, 500)], options.Loss.Gaps);
        Assert.Equal((5_000.0, GapCause.Overrun), (options.Loss.BreakEveryScans, options.Loss.Cause));
        Assert.Equal((1_000_000.0, 2_000_000.0), (options.StartHz, options.EndHz));
    }

    [Fact]
    public void ParseSettings_OfACommandLine_AreTheSameAsJson()
    {
        SyntheticOptions options = SyntheticSpec.ParseSettings(
            ["scanRate=50 kHz", "ramp.kind=falling", "ramp.noise=2", "ramp.hum.amplitude=5", "channels=ramp,vertical,vertical", "sweep.time=20 ms",
             "vertical.tones=[{\"frequency\":\"10 kHz\",\"level\":-20}]", "axis=5kHz,55kHz", "seed=18446744073709551615", "ramp.humIsReal=yes"]);

        Assert.Equal((50_000.0, RampKind.Falling, 2.0, new Hum(5)), (options.ScanRateHz, options.Ramp.Kind, options.Ramp.NoiseCodes, options.Ramp.Hum));
        Assert.Equal([ChannelRole.Ramp, ChannelRole.Vertical, ChannelRole.Vertical], options.Roles);
        Assert.Equal((1_000.0, ulong.MaxValue, true), (options.Sweep.SweepScans, options.Seed, options.Ramp.HumIsReal));
        Assert.Equal([new Tone(10_000, -20)], options.Verticals[0].Tones);
    }

    [Theory]
    [MemberData(nameof(Sources))]
    public void ParseSource_OfEveryName_CanBeRead(string name)
    {
        SyntheticBench bench = new(SyntheticSpec.ParseSource(name + "?scans=3000&seed=5"));

        SyntheticRead read = bench.Read(new ushort[300 * bench.Format.ChannelCount]);

        Assert.Equal(SyntheticReadKind.Scans, read.Kind);
        Assert.Equal(5UL, bench.Truth.Options.Seed);
    }

    public static TheoryData<string> Sources =>
        [.. SyntheticSpec.BenchNames, "rising", "both-ways", "two-scan-retrace", "floating", "blanked-pause"];

    [Theory]
    [InlineData("""{ "ramp": { "nois": 2 } }""", "ramp.nois is not known; known here are")]
    [InlineData("""{ "scanrate": 2 }""", "scanrate is not known")]
    [InlineData("""{ "scanRate": "fast" }""", "scanRate:")]
    [InlineData("""{ "scanRate": "4 V" }""", "scanRate:")]
    [InlineData("""{ "scanRate": -4 }""", "ScanRateHz is -4")]
    [InlineData("""{ "ramp": "sideways" }""", "ramp is \"sideways\"; give one of rising, falling, both-ways")]
    [InlineData("""{ "ramp": 7 }""", "ramp is 7; give one of")]
    [InlineData("""{ "ramp": { "low": 0.9, "high": 0.1 } }""", "Ramp.Low is 0.9")]
    [InlineData("""{ "bits": 17 }""", "Bits is 17")]
    [InlineData("""{ "bits": 1.5 }""", "bits is 1.5; give a whole number")]
    [InlineData("""{ "channels": ["ramp"] }""", "1 channels")]
    [InlineData("""{ "channels": ["ramp", "sound"] }""", "channels[1] is \"sound\"")]
    [InlineData("""{ "axis": ["1 kHz"] }""", "axis is")]
    [InlineData("""{ "bench": "through", "kind": "hum" }""", "bench and kind are both given")]
    [InlineData("""{ "bench": "thru" }""", "bench is \"thru\"; give one of through")]
    [InlineData("""{ "kind": "thru" }""", "kind is \"thru\"; give one of rising")]
    [InlineData("""{ "sweep": "4 Hz" }""", "sweep is \"4 Hz\"; give scans such as 400 or a time")]
    [InlineData("""{ "sweep": { "time": 1 } }""", "Sweep.SweepScans is 1")]
    [InlineData("""{ "loss": { "gaps": [ { "atScan": 3 } ] } }""", "loss.gaps[0].lostScans is missing")]
    [InlineData("""{ "loss": { "gaps": [ { "atScan": 0, "lostScans": 1 } ] } }""", "Loss.Gaps.AtScan is 0")]
    [InlineData("""{ "vertical": {}, "verticals": [] }""", "vertical and verticals are both given")]
    [InlineData("""{ "verticals": [] }""", "Verticals is empty")]
    [InlineData("""{ "seed": -1 }""", "seed is -1")]
    [InlineData("""{ "seed": 1, "seed": 2 }""", "seed is given twice")]
    [InlineData("""{ "ramp": { "humIsReal": 3 } }""", "ramp.humIsReal is 3; give true or false")]
    [InlineData("""[1]""", "give an object")]
    [InlineData("\"nowhere\"", "'nowhere' is no synthetic bench")]
    public void Parse_WrongDescription_NamesMemberValueAndFixInOneLine(string json, string part)
    {
        SyntheticSpecException error = Assert.Throws<SyntheticSpecException>(() => Parse(json));

        Assert.Contains(part, error.Message, StringComparison.Ordinal);
        Assert.DoesNotContain('\n', error.Message);
    }

    [Theory]
    [InlineData("ramp", "'ramp' is no setting")]
    [InlineData("=3", "'=3' is no setting")]
    [InlineData("vertical.tones=[1", "looks like JSON")]
    [InlineData("ramp=rising|ramp.noise=3", "a value already")]
    [InlineData("seed=3|seed=4", "seed is given twice")]
    public void ParseSettings_WrongSetting_SaysSo(string settings, string part)
    {
        SyntheticSpecException error = Assert.Throws<SyntheticSpecException>(() => SyntheticSpec.ParseSettings(settings.Split('|')));

        Assert.Contains(part, error.Message, StringComparison.Ordinal);
        Assert.DoesNotContain('\n', error.Message);
    }

    [Fact]
    public void Parse_EveryExampleOfTheManual_IsValid()
    {
        string[] blocks = Manual().Split("```json");

        Assert.True(blocks.Length > 2);
        Assert.All(blocks[1..], block => Parse(block[..block.IndexOf("```", StringComparison.Ordinal)]).Validate());
    }

    [Fact]
    public void Manual_NamesEveryMemberAndBench()
    {
        string manual = Manual();
        string[] sections = ["{\"?\":1}", "{\"ramp\":{\"?\":1}}", "{\"sweep\":{\"?\":1}}", "{\"vertical\":{\"?\":1}}", "{\"vertical\":{\"filter\":{\"?\":1}}}", "{\"blanking\":{\"?\":1}}", "{\"converter\":{\"?\":1}}", "{\"loss\":{\"?\":1}}"];
        foreach (string section in sections)
        {
            string message = Assert.Throws<SyntheticSpecException>(() => Parse(section)).Message;
            string[] known = message[(message.IndexOf("known here are ", StringComparison.Ordinal) + 15)..^1].Split(", ");
            Assert.All(known, member => Assert.Contains($"`{member}`", manual, StringComparison.Ordinal));
        }

        Assert.All(SyntheticSpec.BenchNames, name => Assert.Contains(name, manual, StringComparison.Ordinal));
    }

    [Fact]
    public void Parse_AnyJson_GivesOptionsOrTheOneException() =>
        Gen.Select(Gen.Int[0, Members.Length - 1].Select(i => Members[i]), Gen.Int[0, Values.Length - 1].Select(i => Values[i]))
            .Array[1, 4].Sample(members =>
            {
                string json = "{" + string.Join(",", members.Select(m => $"\"{m.Item1}\":{m.Item2}")) + "}";
                try
                {
                    Parse(json).Validate();
                }
                catch (SyntheticSpecException error)
                {
                    Assert.NotEmpty(error.Message);
                    Assert.DoesNotContain('\n', error.Message);
                }
            }, iter: 2_000);

    private static string Manual()
    {
        DirectoryInfo? folder = new(AppContext.BaseDirectory);
        while (folder is not null && !File.Exists(Path.Combine(folder.FullName, "docs", "synthetic-bench.md"))) folder = folder.Parent;
        Assert.SkipWhen(folder is null, "The docs folder is not beside the tests.");
        return File.ReadAllText(Path.Combine(folder!.FullName, "docs", "synthetic-bench.md"));
    }

    private static string[] Members => ["ramp", "sweep", "vertical", "loss", "seed", "scans", "channels", "bits", "bench", "kind", "axis", "x"];

    private static string[] Values =>
        ["1", "-1e300", "\"\"", "\"none\"", "null", "true", "[]", "{}", "[[]]", "\"5 kHz\"", "{\"kind\":1}", "{\"time\":\"-1 s\"}",
         "{\"gaps\":[{}]}", "{\"hum\":{\"amplitude\":-1}}", "{\"tones\":3}", "1e999"];

    private static SyntheticOptions Parse(string json)
    {
        using JsonDocument document = JsonDocument.Parse(json);
        return SyntheticSpec.Parse(document.RootElement);
    }
}
