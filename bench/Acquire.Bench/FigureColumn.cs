using BenchmarkDotNet.Columns;
using BenchmarkDotNet.Reports;
using BenchmarkDotNet.Running;

namespace Acquire.Bench;

/// <summary>A figure of our own in the tables, made of the times measured.</summary>
/// <param name="name">Heading.</param>
/// <param name="place">Place among these columns.</param>
/// <param name="legend">What the figure is.</param>
public abstract class FigureColumn(string name, int place, string legend) : IColumn
{
    public string Id => GetType().Name;

    public string ColumnName => name;

    public bool AlwaysShow => true;

    public ColumnCategory Category => ColumnCategory.Custom;

    public int PriorityInCategory => place;

    public bool IsNumeric => true;

    public UnitType UnitType => UnitType.Dimensionless;

    public string Legend => legend;

    public abstract string GetValue(Summary summary, BenchmarkCase benchmarkCase);

    public string GetValue(Summary summary, BenchmarkCase benchmarkCase, SummaryStyle style) => GetValue(summary, benchmarkCase);

    public bool IsAvailable(Summary summary) => true;

    public bool IsDefault(Summary summary, BenchmarkCase benchmarkCase) => false;
}
