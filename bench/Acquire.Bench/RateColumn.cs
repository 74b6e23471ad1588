using System.Globalization;
using BenchmarkDotNet.Reports;
using BenchmarkDotNet.Running;

namespace Acquire.Bench;

/// <summary>Operations a second: scans a second where an operation is a scan, pictures a second where it is a picture.</summary>
public sealed class RateColumn() : FigureColumn("Rate", 0, "Operations a second (k thousand, M million); what an operation is, the class says")
{
    public override string GetValue(Summary summary, BenchmarkCase benchmarkCase)
    {
        double? nanoseconds = summary[benchmarkCase]?.ResultStatistics?.Mean;
        if (nanoseconds is null or 0) return "-";
        double rate = 1e9 / nanoseconds.Value;
        return rate >= 1e6 ? Text(rate / 1e6, "M/s") : rate >= 1e3 ? Text(rate / 1e3, "k/s") : Text(rate, "/s");
    }

    private static string Text(double value, string unit) => string.Create(CultureInfo.InvariantCulture, $"{value:0.0} {unit}");
}
