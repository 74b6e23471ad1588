using Acquire.Columns;
using Acquire.Scales;
using Acquire.Sweeps;
using Acquire.Traces;
using CsCheck;

namespace Acquire.Tests.Traces;

/// <summary>What works on several columns at a time gives the bits of what works on one: every number of columns across vector widths.</summary>
public class SeveralColumnsTests
{
    private static readonly SweepInfo Whole = new() { Complete = true, EndReason = SweepEnd.Retrace };

    // No value, no input, both zeros, and numbers of which some are equal.
    private static readonly Gen<double> AnyValue = Gen.Frequency(
        (1, Gen.Const(double.NaN)),
        (1, Gen.Const(double.NegativeInfinity)),
        (1, Gen.OneOf(0.0, -0.0)),
        (3, Gen.Double[-100, 0]),
        (2, Gen.Int[-3, 3].Select(i => (double)i)));

    private static readonly Gen<ColumnMarks> AnyMark = Gen.Frequency(
        (6, Gen.Const(ColumnMarks.None)),
        (1, Gen.OneOf(ColumnMarks.Suspect, ColumnMarks.Settling, ColumnMarks.Suspect | ColumnMarks.Provisional)));

    [Fact]
    public void Keep_AnyValues_IsTheComparisonOfEachColumn() =>
        Gen.Select(AnyValue.Array[70], AnyValue.Array[70], Gen.Int[1, 70], Gen.Bool).Sample((held, fresh, length, larger) =>
        {
            double[] expected = held[..length], actual = held[..length];
            for (int c = 0; c < length; c++)
                if (double.IsNaN(expected[c]) || (larger ? fresh[c] > expected[c] : fresh[c] < expected[c])) expected[c] = fresh[c];

            HeldValues.Keep(actual, fresh.AsSpan(0, length), larger);

            Assert.Equal(Bits(expected), Bits(actual));
        });

    [Fact]
    public void KeepOut_AnyMarks_TakesTheSuspectColumnsAlone() =>
        AnyMark.Array[1, 70].Sample(marks =>
        {
            double[] values = new double[marks.Length];

            SweepGate.KeepOut(marks, values);

            Assert.Equal(marks.Select(m => (m & ColumnMarks.Suspect) != ColumnMarks.None), values.Select(double.IsNaN));
        });

    [Fact]
    public void KeepOut_OneSuspectColumnOfAnyNumber_IsFound()
    {
        for (int columns = 1; columns <= 70; columns++)
        {
            for (int at = 0; at < columns; at++)
            {
                ColumnMarks[] marks = new ColumnMarks[columns];
                marks[at] = ColumnMarks.Suspect;

                Assert.True(SweepGate.AnyKeptOut(marks), $"{columns} columns, suspect {at}");
            }

            Assert.False(SweepGate.AnyKeptOut(Enumerable.Repeat(ColumnMarks.Settling, columns).ToArray()), $"{columns} columns");
        }
    }

    [Fact]
    public void CollectMarks_AnyColumns_IsWhatIsKnownOfEach() =>
        Gen.Select(AnyColumn.Array[1, 70], AnyMark.Array[70], Gen.Bool, Gen.Enum<Detector>()).Sample((codes, someMarks, marked, detector) =>
        {
            VerticalConverter converter = Given.Converter(Given.Logarithmic);
            var values = new ColumnValues(converter);
            ColumnStatistics columns = Given.Columns(converter, codes);
            ColumnMarks[] marks = marked ? someMarks[..codes.Length] : [];
            ColumnMarks[] expected = new ColumnMarks[codes.Length], actual = new ColumnMarks[codes.Length];
            for (int c = 0; c < codes.Length; c++)
            {
                if (codes[c].Length == 0 || (marked && (marks[c] & ColumnMarks.Suspect) != ColumnMarks.None)) continue;
                if (marked) expected[c] |= marks[c];
                if (values.IsAtRail(columns, c, detector)) expected[c] |= ColumnMarks.AtRail;
            }

            values.CollectMarks(columns, detector, marks, actual);

            Assert.Equal(expected, actual);
        });

    // A column alone has no neighbours to be worked on with.
    [Fact]
    public void Average_ManyColumns_IsThatOfEachColumnAlone() =>
        Gen.Select(AnyColumn.Array[37].Array[1, 9], AnyMark.Array[37], Gen.Int[1, 4], Gen.Bool).Sample((sweeps, marks, count, running) =>
        {
            VerticalConverter converter = Given.Converter(Given.Voltage);
            var values = new ColumnValues(converter);
            ValueChoice choice = new(Detector.Peak, ValueUnit.Level);
            AveragingMode mode = running ? AveragingMode.Running : AveragingMode.Block;
            var all = new TraceAverage(values, 37, choice, mode, count, countAborted: true);
            TraceAverage[] alone = [.. Enumerable.Range(0, 37).Select(_ => new TraceAverage(values, 1, choice, mode, count, countAborted: true))];

            // Aborted sweeps end no block, so that a column goes on until it has its number, whatever the others have.
            SweepInfo part = Whole with { Complete = false, EndReason = SweepEnd.Abort };
            foreach (ushort[][] sweep in sweeps)
            {
                all.Take(part, Given.Columns(converter, sweep), marks);
                for (int c = 0; c < 37; c++) alone[c].Take(part, Given.Columns(converter, sweep[c]), marks.AsSpan(c, 1));
            }

            Assert.Equal(alone.SelectMany(a => Bits(Read(a))), Bits(Read(all)));
            Assert.Equal(alone.Select(a => a.Counts[0]), all.Counts.ToArray());
            Assert.Equal(alone.Select(a => a.Marks[0]), all.Marks.ToArray());
        });

    [Fact]
    public void Hold_ManyColumns_IsThatOfEachColumnAlone() =>
        Gen.Select(AnyColumn.Array[37].Array[1, 12], AnyMark.Array[37].Array[12], AnyScale, Gen.Enum<ValueUnit>(), Gen.Int[0, 12]).Sample((sweeps, marks, scale, unit, restart) =>
        {
            VerticalConverter converter = Given.Converter(scale);
            var values = new ColumnValues(converter);
            var all = new PeakHold(values, 37, unit);
            PeakHold[] alone = [.. Enumerable.Range(0, 37).Select(_ => new PeakHold(values, 1, unit))];

            for (int s = 0; s < sweeps.Length; s++)
            {
                if (s == restart) all.Restart();
                all.Take(Whole, Given.Columns(converter, sweeps[s]), marks[s]);
                for (int c = 0; c < 37; c++)
                {
                    if (s == restart) alone[c].Restart();
                    alone[c].Take(Whole, Given.Columns(converter, sweeps[s][c]), marks[s].AsSpan(c, 1));
                }
            }

            Assert.Equal(alone.Select(a => Bits(a.Highest[0])), Bits(all.Highest.ToArray()));
            Assert.Equal(alone.Select(a => Bits(a.Lowest[0])), Bits(all.Lowest.ToArray()));
            Assert.Equal(alone.Select(a => a.Counts[0]), all.Counts.ToArray());
            Assert.Equal(alone.Select(a => a.Marks[0]), all.Marks.ToArray());
        });

    [Fact]
    public void Read_Means_AreTheBitsOfEachColumnAlone() =>
        Gen.Select(AnyColumn.Array[1, 70], AnyScale, Gen.Enum<ValueUnit>(), Gen.Enum<AveragingDomain>(), Gen.Bool).Sample((codes, scale, unit, domain, rms) =>
        {
            VerticalConverter converter = Given.Converter(scale, Given.AllDomains);
            ValueChoice choice = rms ? new(Detector.Rms, unit) : new(Detector.Average, unit, unit == ValueUnit.Level ? domain : null);
            var values = new ColumnValues(converter);
            double[] all = new double[codes.Length], one = new double[1];

            values.Read(Given.Columns(converter, codes), choice, all);

            for (int c = 0; c < codes.Length; c++)
            {
                values.Read(Given.Columns(converter, codes[c]), choice, one);
                Assert.Equal(Bits(one[0]), Bits(all[c]));
            }
        });

    // From sums that doubles hold to those that they do not, side by side in every order.
    [Fact]
    public void Read_RmsOfAnyNumberOfScans_IsTheBitsOfEachColumnAlone() =>
        Gen.Select(Gen.Int[0, 30].Array[1, 20], Gen.UShort[0, 4_095], Gen.UShort[0, 4_095]).Sample((powers, low, high) =>
        {
            VerticalConverter converter = Given.Converter(Given.Voltage, []);
            var values = new ColumnValues(converter);
            ValueChoice choice = new(Detector.Rms, ValueUnit.Volts);
            double[] all = new double[powers.Length], one = new double[1];

            values.Read(ColumnsOf(powers, low, high), choice, all);

            for (int c = 0; c < powers.Length; c++)
            {
                values.Read(ColumnsOf([powers[c]], low, high), choice, one);
                Assert.Equal(Bits(one[0]), Bits(all[c]));
            }
        });

    [Fact]
    public void Apply_ManyColumns_IsThatOfEachColumnAlone() =>
        Gen.Select(AnyValue.Array[41], AnyValue.Array[41], AnyMark.Array[41], Gen.Bool, Gen.Bool).Sample((readings, reference, marks, marked, withFloor) =>
        {
            TraceFloor? floor = withFloor ? TraceFloor.Stated(-60) : null;
            double[] results = new double[41], result = new double[1];
            ReadingDoubts[] doubts = new ReadingDoubts[41], doubt = new ReadingDoubts[1];

            Normaliser(reference, marks, floor).Apply(readings, marked ? marks : [], results, doubts);

            for (int c = 0; c < 41; c++)
            {
                Normaliser(reference[c..(c + 1)], marks[c..(c + 1)], floor).Apply(readings.AsSpan(c, 1), marked ? marks.AsSpan(c, 1) : [], result, doubt);
                Assert.Equal(Bits(result[0]), Bits(results[c]));
                Assert.Equal(doubt[0], doubts[c]);
            }
        });

    private static TraceNormaliser Normaliser(double[] reference, ColumnMarks[] marks, TraceFloor? floor)
    {
        TraceConditions conditions = new()
        {
            Choice = new ValueChoice(Detector.Average, ValueUnit.Level),
            Scale = Given.Logarithmic,
            FullCode = 4_095,
            Axis = new ColumnAxis(0, reference.Length, 0, 4_000, StartsHigh: false, Learnt: false, Provisional: false),
        };
        return new TraceNormaliser(conditions, new TraceReference(conditions, reference, marks, 1), floor);
    }

    [Fact]
    public void VoltsOf_AnyCode_IsTheBitsOfTheVoltsThatTheSetupNames() =>
        Gen.Select(Gen.Decimal[-10, 0], Gen.Decimal[1, 10], Gen.Double[0, 4_095]).Sample((low, high, code) =>
        {
            var volts = new CodeVolts(low, high);
            var converter = new VerticalConverter(new VerticalScale { Volts = volts }, 4_095);

            Assert.Equal(Bits(volts.VoltsOf(code, 4_095)), Bits(converter.VoltsOf(code)));
        });

    private static readonly Gen<VerticalScale> AnyScale =
        Gen.OneOf(Given.Logarithmic, Given.LogarithmicBent, Given.LogarithmicFalling, Given.Voltage, Given.Power);

    // Unfilled ones, ones at either rail, and others.
    private static Gen<ushort[]> AnyColumn => Gen.Frequency(
        (1, Gen.Const(Array.Empty<ushort>())),
        (1, Gen.OneOf<ushort>([0, 4_095]).Array[1, 2]),
        (8, Gen.UShort[1, 4_094].Array[1, 4]));

    // So many scans, a power of two, half of them one code and half of them another.
    private static ColumnStatistics ColumnsOf(int[] powers, int low, int high)
    {
        var columns = new ColumnStatistics(powers.Length, []);
        for (int c = 0; c < powers.Length; c++)
        {
            if (powers[c] == 0) continue;
            long half = 1L << (powers[c] - 1);
            columns.Add(c, new ReadingRun { Count = (int)(2 * half), Sum = half * (low + high), Squares = (ulong)(half * ((low * low) + (high * high))) });
        }

        return columns;
    }

    private static double[] Read(TraceAverage average)
    {
        double[] values = new double[average.ColumnCount];
        average.Read(values);
        return values;
    }

    // NaN says that there is no value, whatever its sign and payload.
    private static long Bits(double value) => BitConverter.DoubleToInt64Bits(double.IsNaN(value) ? double.NaN : value);

    private static long[] Bits(double[] values) => [.. values.Select(Bits)];
}
