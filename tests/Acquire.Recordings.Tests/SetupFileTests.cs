using System.Reflection;
using System.Text.Json;
using Acquire.Capture;
using Acquire.Columns;
using Acquire.Recordings.Tests.Doubles;
using Acquire.Scales;
using Acquire.Sweeps;
using Acquire.Traces;
using CsCheck;

namespace Acquire.Recordings.Tests;

public sealed class SetupFileTests
{
    private static readonly Setup Full = new()
    {
        Scan = new ScanFormat
        {
            Roles = [ChannelRole.Ramp, ChannelRole.Vertical, ChannelRole.Blanking, ChannelRole.Auxiliary, ChannelRole.Vertical],
            Bits = 14,
            ScanRateHz = 100_000.5,
        },
        RampVolts = new CodeVolts(-5.5m, 5.50m),
        Verticals =
        [
            new VerticalScale
            {
                Volts = new CodeVolts(0.1m, -1.1m),
                Up = SignalUp.CodesFall,
                Level = [new LevelPoint(0, -100), new LevelPoint(-1, 0)],
                LevelUnit = "dBm",
            },
            new VerticalScale { Law = VerticalLaw.Power, ZeroVolts = 0.0125m, Level = [new LevelPoint(1, -3.01m)] },
        ],
        Sweep = new SweepOptions
        {
            Mode = SweepMode.Time,
            Direction = RampDirection.Falling,
            Edges = new SweepEdges(-5m, 4.999999999999999999999999m),
            Blanking = new BlankingOptions { HighIsBlanked = false, ThresholdCode = 2_000, HysteresisCodes = 31, LeadSeconds = -1e-5 },
            TimeSpan = 0.25,
        },
        Axis = new SweepAxis(5_000, 55_000) { Shape = [new(0, 0), new(0.3, 0.25), new(1, 1)] },
        Columns = new ColumnOptions
        {
            ColumnCount = 1_001,
            Placement = Placement.Direct,
            RippleIsReal = true,
            Domains = [AveragingDomain.Power, AveragingDomain.Level],
            SkewScans = 0.5,
            VideoDelaySeconds = 0.0008,
            SettleSeconds = 0.004,
            FillOverSweeps = 3,
        },
        Traces = new TraceOptions { HistorySweeps = 200, CountAborted = true },
        Settings = new InstrumentSettings
        {
            Instrument = "shelf 2, \"left\" \u00B5",
            CentreHz = 30_000,
            SpanHz = 0,
            ResolutionBandwidthHz = 300,
            VideoBandwidthHz = 100,
            ReferenceLevelDb = -10,
            AttenuationDb = 20,
            SweepTimeSeconds = 0.4,
            More = new Dictionary<string, string>(StringComparer.Ordinal) { ["probe"] = "x10", ["a.b"] = "" },
        },
    };

    private static SetupDocument Read(string json)
    {
        using var folder = new TempFolder();
        File.WriteAllText(folder.File("a.setup.json"), json);
        return SetupFile.LoadDocument(folder.File("a.setup.json"));
    }

    private static SetupDocument RoundTrip(SetupDocument document)
    {
        using var folder = new TempFolder();
        SetupFile.Save(folder.File("a.setup.json"), document);
        return SetupFile.LoadDocument(folder.File("a.setup.json"));
    }

    [Fact]
    public void Load_HandWritten_QuantitiesCommentsAndDefaults()
    {
        Setup setup = Read("""
            {
              // a bench of our own
              "scan": { "scanRateHz": "100 kHz" },
              "rampVolts": { "atCodeZero": "-5.5 V", "atFullCode": 5.5 },
              "verticals": [ { "volts": { "atCodeZero": "100 mV", "atFullCode": -1.1 }, "up": "codes-fall",
                "levelUnit": "dBm", "level": [ { "volts": 0, "levelDb": "-100 dBm" }, { "volts": "-1V", "levelDb": 0 } ] } ],
              "sweep": { "edges": { "low": "-5 V", "high": "5 V" } },
              "axis": { "start": "5 kHz", "end": "55kHz" },
              "columns": { "videoDelaySeconds": "0.8 ms" },
            }
            """).Setup;

        Assert.Equal(100_000, setup.Scan.ScanRateHz);
        Assert.Equal(12, setup.Scan.Bits);
        Assert.Equal([ChannelRole.Ramp, ChannelRole.Vertical], setup.Scan.Roles);
        Assert.Equal(new CodeVolts(-5.5m, 5.5m), setup.RampVolts);
        Assert.Equal(new CodeVolts(0.1m, -1.1m), setup.VerticalScaleOf(0).Volts);
        Assert.Equal([new LevelPoint(0, -100), new LevelPoint(-1, 0)], setup.VerticalScaleOf(0).Level);
        Assert.Equal(new SweepEdges(-5, 5), setup.Sweep.Edges);
        Assert.Equal((5_000, 55_000, "Hz"), (setup.Axis!.Start, setup.Axis.End, setup.Axis.Unit));
        Assert.Equal(0.0008, setup.Columns.VideoDelaySeconds);
        Assert.Equal(1_000, setup.Columns.ColumnCount);
    }

    [Fact]
    public void Load_EmptyObject_IsTheDefaultSetup() => SameSetup.Check(new Setup(), Read("{}").Setup);

    [Fact]
    public void Save_EveryMember_ComesBack() => SameSetup.Check(Full, RoundTrip(new SetupDocument(Full)).Setup);

    [Fact]
    public void Write_ToAStream_SameBytesAsTheFile()
    {
        using var folder = new TempFolder();
        using var stream = new MemoryStream();
        SetupDocument document = new(Full, ["sweep.edges"]);

        SetupFile.Write(stream, document);
        SetupFile.Save(folder.File("a.setup.json"), document);

        Assert.Equal(File.ReadAllBytes(folder.File("a.setup.json")), stream.ToArray());
    }

    [Fact]
    public void Save_EveryMemberOfEveryRecord_StandsInTheFile()
    {
        // A member that is added to a record and forgotten here would be lost in silence.
        using var folder = new TempFolder();
        SetupFile.Save(folder.File("a.setup.json"), Full);
        using var json = JsonDocument.Parse(File.ReadAllBytes(folder.File("a.setup.json")));

        AssertHasMembers(typeof(Setup), json.RootElement);
    }

    private static void AssertHasMembers(Type record, JsonElement json)
    {
        foreach (PropertyInfo property in record.GetProperties(BindingFlags.Public | BindingFlags.Instance).Where(p => p.CanWrite))
        {
            string name = char.ToLowerInvariant(property.Name[0]) + property.Name[1..];
            Assert.True(json.TryGetProperty(name, out JsonElement value), $"{record.Name}.{property.Name} is not in the file.");
            Type type = property.PropertyType;
            if (type.IsGenericType && type.GetGenericTypeDefinition() == typeof(IReadOnlyList<>) && value.GetArrayLength() > 0)
                (type, value) = (type.GetGenericArguments()[0], value[0]);
            if (type.Namespace!.StartsWith("Acquire", StringComparison.Ordinal) && value.ValueKind == JsonValueKind.Object)
                AssertHasMembers(type, value);
        }
    }

    [Fact]
    public void Save_AnySetup_ComesBack() =>
        SetupGen.Setups.Sample(setup => SameSetup.Check(setup, RoundTrip(new SetupDocument(setup)).Setup), iter: 200);

    [Fact]
    public void Save_Guesses_ComeBackAndMustBeMembers()
    {
        SetupDocument document = new(Full, ["sweep.direction", "verticals[1].level[0].volts", "axis"]);

        Assert.Equal(document.Guessed, RoundTrip(document).Guessed);
        foreach (string wrong in (string[])["sweep.directon", "verticals[2]", "verticals[x]", "verticals.0", "", "sweep.direction.x"])
        {
            SetupFileException e = Assert.Throws<SetupFileException>(() => RoundTrip(document with { Guessed = [wrong] }));
            Assert.Equal("guessed[0]", e.Member);
        }
    }

    [Fact]
    public void Save_InvalidSetup_RefusedAndOldFileStays()
    {
        using var folder = new TempFolder();
        string path = folder.File("a.setup.json");
        SetupFile.Save(path, Full);
        byte[] before = File.ReadAllBytes(path);

        Assert.Throws<SetupFileException>(() => SetupFile.Save(path, Full with { Scan = new ScanFormat { Bits = 17 } }));
        Assert.Throws<SetupFileException>(() => SetupFile.Save(path, Full with { Axis = new SweepAxis(double.NaN, 1) }));
        Assert.Throws<SetupFileException>(() => SetupFile.Save(path, Full with { Sweep = new SweepOptions { Mode = (SweepMode)9 } }));

        Assert.Equal(before, File.ReadAllBytes(path));
        Assert.Equal(["a.setup.json"], folder.Names());
    }

    [Theory]
    [InlineData("""{"scann":{}}""", "scann", "is not known")]
    [InlineData("""{"sweep":{"edges":{"low":1,"high":2,"mid":3}}}""", "sweep.edges.mid", "is not known")]
    [InlineData("""{"verticals":[{},{"volt":1}]}""", "verticals[1].volt", "is not known")]
    [InlineData("""{"scan":{"bits":12,"bits":13}}""", "scan.bits", "twice")]
    [InlineData("""{"scan":{"bits":17}}""", "scan.bits", "is 17; it must be a whole number from 1 to 16")]
    [InlineData("""{"scan":{"bits":"12"}}""", "scan.bits", "whole number")]
    [InlineData("""{"scan":{"bits":12.5}}""", "scan.bits", "whole number")]
    [InlineData("""{"scan":{"roles":["ramp"]}}""", "scan.roles", "2 to 8")]
    [InlineData("""{"scan":{"roles":[]}}""", "scan.roles", "2 to 8")]
    [InlineData("""{"scan":{"roles":["ramp","ramp","vertical"]}}""", "scan.roles", "Exactly one")]
    [InlineData("""{"scan":{"roles":["ramp","Vertical"]}}""", "scan.roles[1]", "one of \"ramp\"")]
    [InlineData("""{"scan":{"scanRateHz":0}}""", "scan.scanRateHz", "positive")]
    [InlineData("""{"scan":{"scanRateHz":-1e5}}""", "scan.scanRateHz", "positive")]
    [InlineData("""{"scan":{"scanRateHz":1e999}}""", "scan.scanRateHz", "number")]
    [InlineData("""{"scan":{"scanRateHz":"5 V"}}""", "scan.scanRateHz", "is in V but Hz is wanted")]
    [InlineData("""{"scan":[]}""", "scan", "object")]
    [InlineData("""{"rampVolts":{"atCodeZero":1}}""", "rampVolts.atFullCode", "missing")]
    [InlineData("""{"rampVolts":{"atCodeZero":1,"atFullCode":1.0}}""", "rampVolts.atFullCode", "differ")]
    [InlineData("""{"rampVolts":{"atCodeZero":0.12345678901234567890123456789,"atFullCode":1}}""", "rampVolts.atCodeZero", "28 digits")]
    [InlineData("""{"verticals":{}}""", "verticals", "list")]
    [InlineData("""{"verticals":[{},{}]}""", "verticals", "name 1 verticals")]
    [InlineData("""{"verticals":[{"law":"logarithmic"}]}""", "verticals[0].law", "\"log\"")]
    [InlineData("""{"verticals":[{"level":[{"volts":0,"levelDb":1}]}]}""", "verticals[0].level", "two or more")]
    [InlineData("""{"verticals":[{"level":[{"volts":0,"levelDb":1},{"volts":0,"levelDb":2}]}]}""", "verticals[0].level", "volts must rise or fall")]
    [InlineData("""{"verticals":[{"level":[{"volts":0,"levelDb":1},{"volts":1,"levelDb":2},{"volts":2,"levelDb":1}]}]}""", "verticals[0].level", "levels must rise or fall")]
    [InlineData("""{"verticals":[{"law":"power","level":[{"volts":0,"levelDb":1}]}]}""", "verticals[0].level", "zeroVolts")]
    [InlineData("""{"sweep":{"edges":{"low":5,"high":-5}}}""", "sweep.edges.high", "above low")]
    [InlineData("""{"sweep":{"mode":"sweep"}}""", "sweep.mode", "swept")]
    [InlineData("""{"sweep":{"timeSpan":0}}""", "sweep.timeSpan", "positive")]
    [InlineData("""{"sweep":{"blanking":{"highIsBlanked":1}}}""", "sweep.blanking.highIsBlanked", "true or false")]
    [InlineData("""{"sweep":{"blanking":{"leadSeconds":1}}}""", "sweep.blanking.leadSeconds", "scan.scanRateHz")]
    [InlineData("""{"axis":{"start":1}}""", "axis.end", "missing")]
    [InlineData("""{"axis":{"start":1,"end":1}}""", "axis.end", "differ")]
    [InlineData("""{"axis":{"start":1,"end":2,"unit":"kHz"}}""", "axis.unit", "\"Hz\" or \"s\"")]
    [InlineData("""{"axis":{"start":1,"end":2,"shape":[{"fraction":0,"share":0}]}}""", "axis.shape", "fraction 1")]
    [InlineData("""{"columns":{"columnCount":1}}""", "columns.columnCount", "2 to 65536")]
    [InlineData("""{"columns":{"skewScans":1.5}}""", "columns.skewScans", "0 to 1")]
    [InlineData("""{"columns":{"videoDelaySeconds":0.1}}""", "columns.videoDelaySeconds", "scan.scanRateHz")]
    [InlineData("""{"columns":{"domains":["power","power"]}}""", "columns.domains", "once")]
    [InlineData("""{"columns":{"placement":null}}""", "columns.placement", "fitted")]
    [InlineData("""{"traces":{"historySweeps":65537}}""", "traces.historySweeps", "65536")]
    [InlineData("""{"settings":{"spanHz":-1}}""", "settings.spanHz", "negative")]
    [InlineData("""{"settings":{"more":{"a":1}}}""", "settings.more.a", "text")]
    [InlineData("""{"version":2}""", "version", "1")]
    public void Load_WrongMember_NamesItItsValueAndTheRule(string json, string member, string rule)
    {
        SetupFileException e = Assert.Throws<SetupFileException>(() => Read(json));

        Assert.Equal(member, e.Member);
        Assert.Contains(member, e.Message, StringComparison.Ordinal);
        Assert.Contains(rule, e.Message, StringComparison.Ordinal);
        Assert.Equal(-1, e.Message.IndexOfAny(['\n', '\r']));
    }

    [Theory]
    [InlineData("-30")]
    [InlineData("\"-30\"")]
    [InlineData("\"-30 dBm\"")]
    public void Load_ReferenceLevel_IsInTheVerticalsUnit(string level)
    {
        Setup setup = Read($$"""{"settings":{"referenceLevelDb":{{level}}},"verticals":[{"levelUnit":"dBm"}]}""").Setup;

        Assert.Equal(-30, setup.Settings.ReferenceLevelDb);
    }

    [Theory]
    [InlineData(" \t\n", "it is empty")]
    [InlineData("""{"version":2}""", "it must be 1.")]
    [InlineData("""{"settings":{"referenceLevelDb":"-30 dBV"},"verticals":[{"levelUnit":"dBm"}]}""", "is in dBV but dBm is wanted")]
    public void Load_Wrong_SaysWhatIsWanted(string json, string said) =>
        Assert.Contains(said, Assert.Throws<SetupFileException>(() => Read(json)).Message, StringComparison.Ordinal);

    [Theory]
    [InlineData("")]
    [InlineData("{")]
    [InlineData("[]")]
    [InlineData("{} {}")]
    [InlineData("not json")]
    [InlineData("{\"a\\ud800\":1}")]
    [InlineData("{\"levels\":[[[[[[[[[[[[[[[[[[[[1]]]]]]]]]]]]]]]]]]]]}")]
    public void Load_NoSetup_OneLine(string json)
    {
        SetupFileException e = Assert.Throws<SetupFileException>(() => Read(json));

        Assert.Equal(-1, e.Message.IndexOfAny(['\n', '\r']));
    }

    [Fact]
    public void Load_MutatedFile_NeverThrowsAnythingElse()
    {
        using var folder = new TempFolder();
        SetupFile.Save(folder.File("a.setup.json"), Full);
        byte[] good = File.ReadAllBytes(folder.File("a.setup.json"));

        Gen.Select(Gen.Int[0, good.Length - 1], Gen.Byte).List[1, 4].Sample(changes =>
        {
            byte[] bytes = [.. good];
            foreach ((int at, byte value) in changes) bytes[at] = value;
            try
            {
                return Setups.SetupJsonReader.Read(bytes, "a").Setup is not null;
            }
            catch (SetupFileException e)
            {
                return e.Message.IndexOfAny(['\n', '\r']) < 0;
            }
        }, iter: 5_000);
    }

    [Fact]
    public void TryFindBeside_NamesThePair()
    {
        using var folder = new TempFolder();
        string name = folder.File("x");

        Assert.Null(SetupFile.TryFindBeside(name));
        SetupFile.Save(SetupFile.NameBeside(name), new Setup());

        Assert.Equal(folder.File("x.setup.json"), SetupFile.TryFindBeside(name));
        Assert.Equal(folder.File("x.setup.json"), SetupFile.TryFindBeside(name + ".sigmf-meta"));
    }

    [Fact]
    public void Load_Missing_SaysSo()
    {
        SetupFileException e = Assert.Throws<SetupFileException>(() => SetupFile.Load("no/such.setup.json"));

        Assert.Equal(SetupFileFailure.Unreadable, e.Failure);
        Assert.Contains("does not exist", e.Message, StringComparison.Ordinal);
    }
}
