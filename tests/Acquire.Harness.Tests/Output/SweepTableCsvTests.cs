using System.Globalization;
using System.Text;
using Acquire.Capture;
using Acquire.Columns;
using Acquire.Harness.Output;
using Acquire.Harness.Runs;
using Acquire.Harness.Tests.Doubles;
using Acquire.Scales;

namespace Acquire.Harness.Tests.Output;

public class SweepTableCsvTests
{
    [Fact]
    public void Write_TwoColumns_IsOneRecordEachAfterTheHeader()
    {
        Setup setup = new() { Columns = new ColumnOptions { ColumnCount = 2 }, Axis = new SweepAxis(1_000, 2_000) };

        string text = Csv(setup, new FakeSweep(setup, 7).Put(0, 0, 10, 20));

        Assert.Equal(
            "positionHz,count,peak,minimum,average,rms,sample,unit,sweep,vertical\r\n"
            + "1250,2,20,10,15,15.811388300841896,20,code,7,1\r\n" // rms: square root of (100 + 400)/2
            + "1750,0,,,,,,code,7,1\r\n", text);
    }

    // 20 log10(0) has no value: 0 V is no input.
    [Fact]
    public void Write_CodesWithoutInputOnALinearScale_AreEmptyFields()
    {
        Setup setup = new()
        {
            Columns = new ColumnOptions { ColumnCount = 2 },
            Axis = new SweepAxis(1_000, 2_000),
            Verticals = [new() { Volts = new(0, 4.095m), Law = VerticalLaw.Voltage, Level = [new(4.095m, 0)] }],
        };

        string text = Csv(setup, new FakeSweep(setup, 7).Put(0, 0, 4_095, 0).Put(0, 1, 0));

        string[] first = text.Split("\r\n")[1].Split(',');
        Assert.Equal(0, double.Parse(first[2], CultureInfo.InvariantCulture), 1e-9);
        Assert.Equal(["", "-6.02"], [first[3], first[4][..5]]);
        Assert.Equal("1750,1,,,,,,dB,7,1", text.Split("\r\n")[2]);
    }

    // Records of some 50 bytes: many times what is kept before it is written.
    [Fact]
    public void Write_ManyColumnsAndSweeps_IsEveryRecordOnce()
    {
        const int columns = 5_000, sweeps = 3;
        Setup setup = new() { Columns = new ColumnOptions { ColumnCount = columns } };
        using MemoryStream stream = new();
        SweepTableCsv.WriteHeader(stream, setup);
        SweepTableCsv table = new(stream, setup, VerticalReading.Of(setup, null));
        for (int sweep = 0; sweep < sweeps; sweep++)
        {
            FakeSweep fake = new(setup, sweep, axisNumber: sweep);
            for (int column = 0; column < columns; column++) fake.Put(0, column, (ushort)(column % 4_096));
            table.Write(fake.View());
        }

        string[] lines = Encoding.UTF8.GetString(stream.ToArray()).Split("\r\n");

        Assert.Equal(1 + (sweeps * columns) + 1, lines.Length);
        for (int i = 0; i < sweeps * columns; i++)
        {
            int column = i % columns, code = column % 4_096;
            double percent = 100 * (column + 0.5) / columns;
            Assert.Equal(string.Create(CultureInfo.InvariantCulture, $"{percent:R},1,{code},{code},{code},{code},{code},code,{i / columns},1"), lines[1 + i]);
        }
    }

    // Texts that are kept from sweep to sweep and from column to column: where columns lie, unit and channel, the sweep's number.
    [Fact]
    public void Write_TwoVerticalsAndTwoAxesInTurn_IsEachRecordsOwn()
    {
        Setup setup = new()
        {
            Scan = new ScanFormat { Roles = [ChannelRole.Ramp, ChannelRole.Vertical, ChannelRole.Vertical] },
            Columns = new ColumnOptions { ColumnCount = 2 },
            Axis = new SweepAxis(1_000, 2_000),
            Verticals = [new() { Volts = new(0, 8_190) }, new()], // 2 V a code
        };

        string[] lines = Csv(setup, new FakeSweep(setup, 9).Put(0, 0, 1_000).Put(1, 1, 30), new FakeSweep(setup, 10, axisNumber: 1).Put(0, 1, 1_500)).Split("\r\n");

        Assert.Equal(
        [
            "1250,1,2000,2000,2000,2000,2000,V,9,1", "1750,0,,,,,,V,9,1", "1250,0,,,,,,code,9,2", "1750,1,30,30,30,30,30,code,9,2",
            "1250,0,,,,,,V,10,1", "1750,1,3000,3000,3000,3000,3000,V,10,1", "1250,0,,,,,,code,10,2", "1750,0,,,,,,code,10,2", "",
        ], lines[1..]);
    }

    [Theory]
    [InlineData("dB", "dB")]
    [InlineData("a,b", "\"a,b\"")]
    [InlineData("a\"b", "\"a\"\"b\"")]
    [InlineData("a\nb", "\"a\nb\"")]
    public void Quoted_Field_IsQuotedWhereRfc4180AsksForIt(string field, string quoted) => // RFC 4180, section 2, rules 5 to 7
        Assert.Equal(quoted, SweepTableCsv.Quoted(field));

    [Fact]
    public void NameOf_NoAxis_IsPerCentOfTheRamp()
    {
        Assert.Equal("positionPercent", Positions.NameOf(null));
        Assert.Equal("positionSeconds", Positions.NameOf(new SweepAxis(0, 1, "s")));
    }

    private static string Csv(Setup setup, params FakeSweep[] sweeps)
    {
        using MemoryStream stream = new();
        SweepTableCsv.WriteHeader(stream, setup);
        SweepTableCsv table = new(stream, setup, VerticalReading.Of(setup, null));
        foreach (FakeSweep sweep in sweeps) table.Write(sweep.View());
        return Encoding.UTF8.GetString(stream.ToArray());
    }
}
