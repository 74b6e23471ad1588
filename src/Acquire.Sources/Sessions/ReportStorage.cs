using Acquire.Columns;

namespace Acquire.Sources.Sessions;

/// <summary>Memory for the columns of one sweep.</summary>
internal sealed class ReportStorage
{
    private readonly ColumnStatistics[] _verticals;
    private readonly ColumnMarks[] _marks;
    private int _markCount;

    public ReportStorage(Setup setup)
    {
        int columns = setup.Columns.ColumnCount;
        _verticals = [.. Enumerable.Range(0, setup.Scan.VerticalChannels.Count).Select(_ => new ColumnStatistics(columns, setup.Columns.Domains))];
        _marks = new ColumnMarks[columns];
    }

    public IReadOnlyList<ColumnStatistics> Verticals => _verticals;

    public ReadOnlySpan<ColumnMarks> Marks => _marks.AsSpan(0, _markCount);

    public void CopyFrom(in SweepView sweep)
    {
        for (int v = 0; v < _verticals.Length; v++) _verticals[v].CopyFrom(sweep.Verticals[v]);
        sweep.Marks.CopyTo(_marks);
        _markCount = sweep.Marks.Length;
    }
}
