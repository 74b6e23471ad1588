using Acquire.Columns;
using Acquire.Scales;

namespace Acquire.Traces;

/// <summary>What a trace keeps of every column: its statistics, where they came from and what is to be known of them.</summary>
internal sealed class TraceColumns
{
    public TraceColumns(int columnCount, IReadOnlyCollection<AveragingDomain> domains)
    {
        Statistics = new ColumnStatistics(columnCount, domains);
        SweepNumbers = new long[columnCount];
        Ages = new long[columnCount];
        Marks = new ColumnMarks[columnCount];
        Clear();
    }

    public ColumnStatistics Statistics { get; }

    public long[] SweepNumbers { get; }

    public long[] Ages { get; }

    public ColumnMarks[] Marks { get; }

    public bool IsFilled(int column) => SweepNumbers[column] >= 0;

    public void Copy(int column, TraceColumns source, int sourceColumn)
    {
        Statistics.CopyColumn(column, source.Statistics, sourceColumn);
        SweepNumbers[column] = source.SweepNumbers[sourceColumn];
        Ages[column] = source.Ages[sourceColumn];
        Marks[column] = source.Marks[sourceColumn];
    }

    public void CopyRange(int first, int end, TraceColumns source)
    {
        int n = end - first;
        Statistics.CopyRange(first, end, source.Statistics);
        source.SweepNumbers.AsSpan(first, n).CopyTo(SweepNumbers.AsSpan(first));
        source.Ages.AsSpan(first, n).CopyTo(Ages.AsSpan(first));
        source.Marks.AsSpan(first, n).CopyTo(Marks.AsSpan(first));
    }

    public void CopyAll(TraceColumns source)
    {
        Statistics.CopyFrom(source.Statistics);
        source.SweepNumbers.CopyTo(SweepNumbers, 0);
        source.Ages.CopyTo(Ages, 0);
        source.Marks.CopyTo(Marks, 0);
    }

    public void Clear(int column)
    {
        Statistics.Clear(column);
        SweepNumbers[column] = -1;
        Ages[column] = -1;
        Marks[column] = ColumnMarks.None;
    }

    public void Clear()
    {
        Statistics.Clear();
        Array.Fill(SweepNumbers, -1);
        Array.Fill(Ages, -1);
        Array.Clear(Marks);
    }
}
