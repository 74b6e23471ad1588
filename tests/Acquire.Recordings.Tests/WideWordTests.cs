using Acquire.Recordings.Tests.Doubles;
using Acquire.Scales;
using CsCheck;

namespace Acquire.Recordings.Tests;

public sealed class WideWordTests
{
    private static readonly Dictionary<string, Func<double, byte[]>> Words = new(StringComparer.Ordinal)
    {
        ["ri32_le"] = v => BitConverter.GetBytes((int)v),
        ["ru32_le"] = v => BitConverter.GetBytes((uint)v),
        ["rf32_le"] = v => BitConverter.GetBytes((float)v),
        ["rf64_le"] = BitConverter.GetBytes,
    };

    public static TheoryData<string> Names => ["ri32_le", "ri32_be", "ru32_le", "ru32_be", "rf32_le", "rf32_be", "rf64_le", "rf64_be"];

    private static byte[] Bytes(string datatype, IEnumerable<double> values)
    {
        Func<double, byte[]> word = Words[datatype.Replace("_be", "_le", StringComparison.Ordinal)];
        return [.. values.SelectMany(v => datatype.EndsWith("_be", StringComparison.Ordinal) ? [.. word(v).Reverse()] : word(v))];
    }

    [Theory]
    [MemberData(nameof(Names))]
    public void Read_RangeFoundPerChannel_EveryWordWithinHalfAStep(string datatype)
    {
        // The oracle: volts of the code that comes out, against the word that went in.
        double least = datatype.StartsWith("ru", StringComparison.Ordinal) ? 0 : -5e8;
        Gen.Double[least, 2e9].Array[2, 300].Sample(values =>
        {
            using var folder = new TempFolder();
            double[] pairs = [.. values.SelectMany(v => (double[])[v, Math.Abs(v / 1000)])];
            double[] stored = datatype[1] == 'f' ? [.. pairs.Select(p => datatype.StartsWith("rf32", StringComparison.Ordinal) ? (float)p : p)] : [.. pairs.Select(Math.Truncate)];

            using RecordingReader reader = RecordingReader.Open(Foreign.Write(folder, datatype, Bytes(datatype, pairs)));
            ushort[] codes = Foreign.ReadAll(reader).Codes;

            Assert.Equal(16, reader.Bits);
            Assert.Equal((0, 0), (reader.NotANumber, reader.Clipped));
            for (int i = 0; i < stored.Length; i++)
            {
                CodeVolts range = reader.VoltsOf(i % 2)!;
                double error = Math.Abs(range.VoltsOf(codes[i], 65_535) - stored[i]);

                // 15 digits of the range's ends are kept.
                Assert.True(error <= (reader.StepVoltsOf(i % 2) / 2) + (Math.Abs(stored[i]) * 1e-14) + 1e-14, $"{stored[i]} became {codes[i]}, {error} off.");
            }
        }, iter: 20);
    }

    [Fact]
    public void Read_RangeGiven_NearestCodeAndClippedAreCounted()
    {
        using var folder = new TempFolder();
        double[] volts = [-5.5, 5.5, 0, -5.51, 5.6, -5.5013, 1e30];
        string name = Foreign.Write(folder, "rf64_le", Bytes("rf64_le", volts), channels: 1);

        using RecordingReader reader = RecordingReader.Open(name, new RecordingOptions { Bits = 12, Ranges = [new CodeVolts(-5.5m, 5.5m)] });
        ushort[] codes = Foreign.ReadAll(reader).Codes;

        // 0 V lies at 2047.5, and a tie goes to the even code. -5.5013 V is within half a step (1.34 mV) of code 0.
        Assert.Equal([0, 4095, 2048, 0, 4095, 0, 4095], codes);
        Assert.Equal(3, reader.Clipped);
        Assert.Equal((12, 11.0 / 4095), (reader.Bits, reader.StepVoltsOf(0)));
        reader.Rewind();
        Assert.Equal(0, reader.Clipped);
    }

    [Fact]
    public void Read_FallingRange_CodesFallWithVolts()
    {
        using var folder = new TempFolder();
        string name = Foreign.Write(folder, "rf32_le", Bytes("rf32_le", [0.1, -1.1]), channels: 1);

        using RecordingReader reader = RecordingReader.Open(name, new RecordingOptions { Ranges = [new CodeVolts(0.1m, -1.1m)] });

        Assert.Equal([0, 65535], Foreign.ReadAll(reader).Codes);
        Assert.Equal(0, reader.Clipped);
    }

    [Fact]
    public void Read_NotANumber_OneBitLessSoThatItsCodeIsExcluded()
    {
        using var folder = new TempFolder();
        double[] volts = [0, double.NaN, 1, double.PositiveInfinity, double.NegativeInfinity, 0.5];
        string name = Foreign.Write(folder, "rf32_be", Bytes("rf32_be", volts), channels: 1);

        using RecordingReader reader = RecordingReader.Open(name);
        ushort[] codes = Foreign.ReadAll(reader).Codes;

        Assert.Equal(15, reader.Bits);
        Assert.Equal([0, 65535, 32767, 65535, 65535, 16384], codes);
        Assert.Equal((3, 0), (reader.NotANumber, reader.Clipped));
    }

    [Fact]
    public void Read_NotANumberInAll16Bits_IsCodeZeroAndCounted()
    {
        using var folder = new TempFolder();
        string name = Foreign.Write(folder, "rf32_le", Bytes("rf32_le", [1, double.NaN]), channels: 1);

        using RecordingReader reader = RecordingReader.Open(name, new RecordingOptions { Ranges = [new CodeVolts(0, 1)] });

        Assert.Equal([65535, 0], Foreign.ReadAll(reader).Codes);
        Assert.Equal(1, reader.NotANumber);
    }

    [Theory]
    [InlineData(3.25, 3.25, 6.5)]
    [InlineData(0, 0, 1)]
    [InlineData(double.NaN, 0, 1)]
    public void Read_LineThatStandsStill_HasARangeAllTheSame(double value, double zero, double full)
    {
        using var folder = new TempFolder();

        using RecordingReader reader = RecordingReader.Open(Foreign.Write(folder, "rf64_le", Bytes("rf64_le", [value, value]), channels: 1));

        Assert.Equal(new CodeVolts((decimal)zero, (decimal)full), reader.VoltsOf(0));
        Assert.Equal(reader.Bits == 16 ? (ushort)0 : (ushort)65535, Foreign.ReadAll(reader).Codes[0]);
    }

    [Fact]
    public void Open_RangeNoVoltageHas_Refused()
    {
        using var folder = new TempFolder();
        string name = Foreign.Write(folder, "rf32_le", Bytes("rf32_le", [0, 3e38]), channels: 1);

        RecordingException e = Assert.Throws<RecordingException>(() => RecordingReader.Open(name));

        Assert.Equal(RecordingFailure.OptionWrong, e.Failure);
        RecordingReader.Open(name, new RecordingOptions { Ranges = [new CodeVolts(0, 1)] }).Dispose();
    }

    [Fact]
    public void Open_RangesPerChannel_CountMustFit()
    {
        using var folder = new TempFolder();
        string name = Foreign.Write(folder, "rf32_le", Bytes("rf32_le", [1, 2, 3]), channels: 3);

        using RecordingReader reader = RecordingReader.Open(name, new RecordingOptions { Channels = [2, 0], Ranges = [new(0, 3), new(1, 2)] });

        Assert.Equal([65535, 0], Foreign.ReadAll(reader).Codes);
        Assert.Throws<RecordingException>(() => RecordingReader.Open(name, new RecordingOptions { Ranges = [new(0, 3), new(1, 2)] }));
    }

    [Theory]
    [MemberData(nameof(Names))]
    public void Read_SteadyState_AllocatesNothing(string datatype)
    {
        using var folder = new TempFolder();
        using RecordingReader reader = RecordingReader.Open(Foreign.Write(folder, datatype, Bytes(datatype, Enumerable.Range(0, 40_000).Select(i => (double)i))));
        ushort[] scans = new ushort[2_000];

        Allocations.AssertNone(() =>
        {
            if (reader.Read(scans).Kind == RecordingReadKind.End) reader.Rewind();
        }, runs: 50);
    }

    [Fact]
    public void Read_SegmentsAndHeaders_FirstPassLooksAtScansOnly()
    {
        using var folder = new TempFolder();
        byte[] data = [.. Bytes("rf32_le", [1e20, 0, 1, -1e20, 2, 1e25])];
        string name = Foreign.Write(folder, "rf32_le", data, 1,
            """{"core:sample_start":0,"core:header_bytes":4},{"core:sample_start":2,"core:header_bytes":4}""",
            ""","core:trailing_bytes":4,"core:dataset":"foreign.sigmf-data" """);

        using RecordingReader reader = RecordingReader.Open(name);

        Assert.Equal(new CodeVolts(0, 2), reader.VoltsOf(0));
        Assert.Equal([0, 32768, 65535], Foreign.ReadAll(reader).Codes);
    }
}
