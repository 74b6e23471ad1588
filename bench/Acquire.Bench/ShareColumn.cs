using System.Globalization;
using BenchmarkDotNet.Reports;
using BenchmarkDotNet.Running;

namespace Acquire.Bench;

/// <summary>The rate as a share of the baseline's, which is the simplest thing that could be done with the same memory: reading or copying it.</summary>
public sealed class ShareColumn() : FigureColumn("Share", 1, "Rate as a share of the baseline's, which reads, copies or clears the same memory alone")
{
    public override string GetValue(Summary summary, BenchmarkCase benchmarkCase)
    {
        BenchmarkCase? baseline = Array.Find(
            [.. summary.BenchmarksCases],
            b => b.Descriptor.Baseline && b.Descriptor.Type == benchmarkCase.Descriptor.Type && b.Parameters.DisplayInfo == benchmarkCase.Parameters.DisplayInfo);
        if (baseline is null || summary[baseline]?.ResultStatistics?.Mean is not { } alone || summary[benchmarkCase]?.ResultStatistics?.Mean is not { } mean) return "-";
        return string.Create(CultureInfo.InvariantCulture, $"{alone / mean:0.000}");
    }
}
