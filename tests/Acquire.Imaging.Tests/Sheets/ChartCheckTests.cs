using Acquire.Imaging.Charts;
using Acquire.Imaging.Scenes;
using Acquire.Imaging.Tests.Doubles;
using CsCheck;

namespace Acquire.Imaging.Tests.Sheets;

public class ChartCheckTests
{
    [Fact]
    public void Render_ArrayOfAnotherLength_NamesArrayAndCounts()
    {
        TraceChart chart = SampleSheets.Trace() with { Reference = new double[7] };

        ArgumentException error = Assert.Throws<ArgumentException>(() => ChartSheet.Render(SampleSheets.Sheet(chart), SheetSize.Page));

        Assert.Contains("Reference has 7", error.Message, StringComparison.Ordinal);
        Assert.Contains("1000", error.Message, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData(new double[0], "at least one column")]
    [InlineData(new[] { 1.0, 2, 2 }, "only rise or only fall")]
    [InlineData(new[] { 1.0, 3, 2 }, "only rise or only fall")]
    [InlineData(new[] { 1.0, double.NaN, 2 }, "finite")]
    public void Render_PositionsThatAreNoAxis_SaysWhy(double[] positions, string reason)
    {
        var chart = new TraceChart { Positions = positions, Values = new double[positions.Length] };

        ArgumentException error = Assert.Throws<ArgumentException>(() => ChartSheet.Render(SampleSheets.Sheet(chart), SheetSize.Page));

        Assert.Contains(reason, error.Message, StringComparison.Ordinal);
    }

    public static TheoryData<string, SheetDefinition> DefinitionsWithANull()
    {
        TraceChart trace = SampleSheets.Trace();
        HistoryChart history = SampleSheets.History();
        ComparisonChart comparison = SampleSheets.Comparison();
        TitleBlock block = SampleSheets.Block();
        return new()
        {
            { "Chart", SampleSheets.Sheet(null!) },
            { "Chart.Positions", SampleSheets.Sheet(trace with { Positions = null! }) },
            { "Chart.XUnit", SampleSheets.Sheet(trace with { XUnit = null! }) },
            { "Chart.YUnit", SampleSheets.Sheet(trace with { YUnit = null! }) },
            { "Chart.Values", SampleSheets.Sheet(trace with { Values = null! }) },
            { "Chart.TraceName", SampleSheets.Sheet(trace with { TraceName = null! }) },
            { "Chart.ReferenceName", SampleSheets.Sheet(trace with { ReferenceName = null! }) },
            { "Chart.Markers", SampleSheets.Sheet(trace with { Markers = null! }) },
            { "Chart.Markers[1]", SampleSheets.Sheet(trace with { Markers = [trace.Markers[0], null!] }) },
            { "Chart.Markers[0].Name", SampleSheets.Sheet(trace with { Markers = [trace.Markers[0] with { Name = null! }] }) },
            { "Chart.Bandwidths", SampleSheets.Sheet(trace with { Bandwidths = null! }) },
            { "Chart.Bandwidths[0]", SampleSheets.Sheet(trace with { Bandwidths = [null!] }) },
            { "Chart.Bandwidths[0].Kind", SampleSheets.Sheet(trace with { Bandwidths = [trace.Bandwidths[0] with { Kind = null! }] }) },
            { "Chart.Rows", SampleSheets.Sheet(history with { Rows = null! }) },
            { "Chart.Rows[1]", SampleSheets.Sheet(history with { Rows = [history.Rows[0], null!, .. history.Rows.Skip(2)] }) },
            { "Chart.RowSeconds", SampleSheets.Sheet(history with { RowSeconds = null! }) },
            { "Chart.TimeUnit", SampleSheets.Sheet(history with { TimeUnit = null! }) },
            { "Chart.Sections", SampleSheets.Sheet(history with { Sections = null! }) },
            { "Chart.Sections[0]", SampleSheets.Sheet(history with { Sections = [null!] }) },
            { "Chart.Sections[0].Label", SampleSheets.Sheet(history with { Sections = [new HistorySection(3, null!)] }) },
            { "Chart.First", SampleSheets.Sheet(comparison with { First = null! }) },
            { "Chart.FirstName", SampleSheets.Sheet(comparison with { FirstName = null! }) },
            { "Chart.Second", SampleSheets.Sheet(comparison with { Second = null! }) },
            { "Chart.SecondName", SampleSheets.Sheet(comparison with { SecondName = null! }) },
            { "Chart.Markers", SampleSheets.Sheet(comparison with { Markers = null! }) },
            { "TitleBlock", new SheetDefinition { Chart = trace, TitleBlock = null! } },
            { "TitleBlock.Title", new SheetDefinition { Chart = trace, TitleBlock = block with { Title = null! } } },
            { "TitleBlock.Settings", new SheetDefinition { Chart = trace, TitleBlock = block with { Settings = null! } } },
            { "TitleBlock.Settings[1]", new SheetDefinition { Chart = trace, TitleBlock = block with { Settings = [block.Settings[0], null!] } } },
            { "TitleBlock.Settings[0].Name", new SheetDefinition { Chart = trace, TitleBlock = block with { Settings = [new SheetEntry(null!, "1")] } } },
        };
    }

    [Theory]
    [MemberData(nameof(DefinitionsWithANull))]
    public void Render_NullWhereOneMustNotBe_NamesTheMember(string member, SheetDefinition definition)
    {
        ArgumentException error = Assert.Throws<ArgumentException>(() => ChartSheet.Render(definition, SheetSize.SmallPanel));

        Assert.StartsWith($"{member} is null;", error.Message, StringComparison.Ordinal);
        Assert.Equal("definition", error.ParamName);
    }

    [Fact]
    public void Render_StyleWithoutColoursOfAHistory_NamesThem()
    {
        ArgumentException error = Assert.Throws<ArgumentException>(() => ChartSheet.Render(SampleSheets.Sheet(SampleSheets.History()), SheetSize.SmallPanel, SheetStyle.Dark with { Ramp = null! }));

        Assert.StartsWith("Ramp is null;", error.Message, StringComparison.Ordinal);
        Assert.Equal("style", error.ParamName);
    }

    [Fact]
    public void Render_RangeUpsideDown_SaysWhy() => Assert.Contains("high end", Assert.Throws<ArgumentException>(
        () => ChartSheet.Render(SampleSheets.Sheet(SampleSheets.Trace() with { YRange = new ChartRange(0, -80) }), SheetSize.Page)).Message, StringComparison.Ordinal);

    [Fact]
    public void Render_HistoryTimesOutOfOrder_SaysWhich()
    {
        HistoryChart chart = SampleSheets.History();
        double[] seconds = [.. chart.RowSeconds];
        seconds[7] = seconds[6];

        ArgumentException error = Assert.Throws<ArgumentException>(() => ChartSheet.Render(SampleSheets.Sheet(chart with { RowSeconds = seconds }), SheetSize.Page));

        Assert.Contains("RowSeconds 7", error.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void Render_SectionBeyondTheRows_SaysWhich() => Assert.Contains("row 120", Assert.Throws<ArgumentException>(
        () => ChartSheet.Render(SampleSheets.Sheet(SampleSheets.History() with { Sections = [new HistorySection(120, "late")] }), SheetSize.Page)).Message, StringComparison.Ordinal);

    [Theory]
    [InlineData(479, 272)]
    [InlineData(480, 271)]
    [InlineData(16_385, 1_000)]
    public void SheetSize_OutsideItsRange_IsRefused(int width, int height) => Assert.Throws<ArgumentOutOfRangeException>(() => new SheetSize(width, height));

    [Fact]
    public void Render_AnyData_KeepsTextsApartAndNumbersFinite() =>
        Gen.Select(Gen.Int[1, 40], Gen.Int[-12, 12], Gen.Int[-6, 6], Gen.Int[0, 5], Gen.Int[0, 1_000]).Sample((columns, offsetPower, spanPower, holes, seed) =>
        {
            double offset = Math.Pow(10, offsetPower), span = Math.Pow(10, spanPower);
            double[] positions = [.. Enumerable.Range(0, columns).Select(i => offset + (offset * 0.01 * i))];
            double[] values = [.. Enumerable.Range(0, columns).Select(i => (i + seed) % 6 < holes ? double.NaN : (span * Math.Sin((i * 0.7) + seed)) + (seed % 3 * span * 100))];
            var chart = new TraceChart
            {
                Positions = positions,
                Values = values,
                Markers = [.. Enumerable.Range(0, Math.Min(columns, 6)).Select(i => new ChartMarker { Name = $"M{i}", Position = positions[i], Value = values[i] })],
                FrontColumn = seed % 4 == 0 ? seed % (columns + 2) : null,
                OlderValues = seed % 2 == 0 ? values : null,
            };
            Scene scene = ChartSheet.Render(SampleSheets.Sheet(chart), seed % 2 == 0 ? SheetSize.SmallPanel : SheetSize.Page);
            List<string> faults = SceneChecks.Faults(scene);
            Assert.True(faults.Count == 0, string.Join("; ", faults));
            return scene.Texts().All(t => double.IsFinite(t.Box.Width) && double.IsFinite(t.Box.Left));
        }, iter: 300);
}
