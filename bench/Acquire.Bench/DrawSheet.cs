using Acquire.Imaging;
using Acquire.Imaging.Charts;
using BenchmarkDotNet.Attributes;

namespace Acquire.Bench;

/// <summary>What does a chart sheet cost, from what it shows to the bytes of its file? An operation is a sheet of 1,000 columns.</summary>
[MemoryDiagnoser]
public class DrawSheet
{
    private SheetDefinition _sheet = null!;
    private SheetSize _size = null!;

    [Params("page", "A3 at 300 dpi")]
    public string Size { get; set; } = "page";

    [GlobalSetup]
    public void Setup()
    {
        _size = Size is "page" ? SheetSize.Page : SheetSize.A3At300Dpi;
        double[] positions = [.. Enumerable.Range(0, 1_000).Select(column => 10_000.0 + (column * 50))];
        double[] values = [.. positions.Select(position => -20 - (30 * Math.Exp(-Math.Pow((position - 35_000) / 3_000, 2))))];
        _sheet = new SheetDefinition
        {
            Chart = new TraceChart
            {
                Positions = positions,
                Values = values,
                Lowest = [.. values.Select(value => value - 1)],
                Highest = [.. values.Select(value => value + 1)],
                Markers = [new ChartMarker { Name = "A", Position = 35_000, Value = -50 }],
            },
            TitleBlock = new TitleBlock { Title = "A notch", Settings = [.. Enumerable.Range(0, 12).Select(i => new SheetEntry($"Setting {i}", $"{i} units"))] },
        };
    }

    [Benchmark(Baseline = true)]
    public long Svg()
    {
        using MemoryStream file = new(1 << 20);
        ChartSheet.Render(_sheet, _size).WriteSvg(file);
        return file.Length;
    }

    [Benchmark]
    public long Png()
    {
        using MemoryStream file = new(1 << 20);
        ChartSheet.Render(_sheet, _size).WritePng(file);
        return file.Length;
    }
}
