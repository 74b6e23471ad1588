using System.Globalization;
using System.Text;
using Acquire.Capture;
using Acquire.Columns;
using Acquire.Harness.Output;
using Acquire.Harness.Runs;
using Acquire.Scales;
using Acquire.Traces;

namespace Acquire.Harness.Tests.Output;

/// <summary>The text of a column is that of the value which the engine reads of it.</summary>
public sealed class DetectorTextsTests
{
    private const int Columns = 200;

    [Theory]
    [InlineData(ValueUnit.Code, SignalUp.CodesRise, 12)]
    [InlineData(ValueUnit.Code, SignalUp.CodesFall, 16)]
    [InlineData(ValueUnit.Volts, SignalUp.CodesRise, 12)]
    [InlineData(ValueUnit.Volts, SignalUp.CodesFall, 8)]
    [InlineData(ValueUnit.Level, SignalUp.CodesRise, 16)]
    [InlineData(ValueUnit.Level, SignalUp.CodesFall, 12)]
    public void Write_AnyColumn_IsItsValueOrNothing(ValueUnit unit, SignalUp up, int bits)
    {
        VerticalReading reading = Reading(unit, up, bits);
        ColumnStatistics columns = Random(reading, bits);
        double[] values = new double[Columns];
        byte[] text = new byte[NumberText.MostBytes];

        foreach (DetectorTexts detector in DetectorTexts.Of(reading, Columns))
        {
            Assert.Equal(ValueAvailability.Available, reading.Read(columns, detector.Detector, values));
            Assert.True(detector.Take(columns));
            for (int column = 0; column < Columns; column++)
            {
                string expected = double.IsNaN(values[column]) ? "" : values[column].ToString("R", CultureInfo.InvariantCulture);
                Assert.Equal(expected, Encoding.UTF8.GetString(text, 0, detector.Write(text, column)));
            }
        }
    }

    [Fact]
    public void Write_EndsOfTheConverter_AreTheirCodes()
    {
        VerticalReading reading = Reading(ValueUnit.Code, SignalUp.CodesRise, 16);
        ColumnStatistics columns = new(2, []);
        foreach (ushort code in new ushort[] { 0, 65_535 }) columns.Add(0, code, []);
        byte[] text = new byte[NumberText.MostBytes];

        string[] texts = [.. DetectorTexts.Of(reading, 2).Select(detector =>
        {
            detector.Take(columns);
            return $"{detector.Detector} {Encoding.UTF8.GetString(text, 0, detector.Write(text, 0))}";
        })];

        // RMS: 65535 / sqrt(2) = 46340.24290506039(3), computed apart.
        Assert.Equal(["Peak 65535", "Minimum 0", "Average 32767.5", "Rms 46340.24290506039", "Sample 65535"], texts);
    }

    [Fact]
    public void Take_DomainThatWasNotKept_HasNoValues()
    {
        Setup setup = SetupOf(SignalUp.CodesRise, 12);
        VerticalReading reading = VerticalReading.Of(setup, ValueUnit.Level)[0];
        ColumnStatistics columns = new(1, []);
        columns.Add(0, 7, []);
        byte[] text = new byte[NumberText.MostBytes];
        DetectorTexts rms = DetectorTexts.Of(reading, 1).Single(detector => detector.Detector == Detector.Rms);

        Assert.False(rms.Take(columns));
        Assert.Equal(0, rms.Write(text, 0));
    }

    private static Setup SetupOf(SignalUp up, int bits) => new()
    {
        Scan = new ScanFormat { Bits = bits },
        Columns = new ColumnOptions { ColumnCount = Columns },
        Verticals =
        [
            new VerticalScale
            {
                Up = up,
                Volts = up == SignalUp.CodesRise ? new CodeVolts(-0.1m, 1.13m) : new CodeVolts(1.13m, -0.1m),
                Level = [new LevelPoint(0, -77), new LevelPoint(0.5m, -31), new LevelPoint(1, 3)],
            },
        ],
    };

    private static VerticalReading Reading(ValueUnit unit, SignalUp up, int bits)
    {
        Setup setup = VerticalReading.WithDomains(SetupOf(up, bits), unit, [Detector.Average, Detector.Rms], null);
        return VerticalReading.Of(setup, unit)[0];
    }

    // Up to 40 scans a column, every seventh column without any.
    private static ColumnStatistics Random(VerticalReading reading, int bits)
    {
        var random = new Random(20_261_128);
        ReadOnlySpan<DomainTable?> tables = reading.Values.Converter.Tables;
        List<AveragingDomain> domains = [];
        for (int domain = 0; domain < tables.Length; domain++)
            if (tables[domain] is not null) domains.Add((AveragingDomain)domain);
        ColumnStatistics columns = new(Columns, domains);
        for (int column = 0; column < Columns; column++)
            for (int scans = column % 7 == 0 ? 0 : random.Next(1, 41); scans > 0; scans--)
                columns.Add(column, (ushort)random.Next(1 << bits), tables);
        return columns;
    }
}
