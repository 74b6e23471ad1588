using Acquire.Columns;
using Acquire.Scales;

namespace Acquire.Tests.Columns;

/// <summary>Columns say what they were not made for before they change.</summary>
public sealed class ColumnStatisticsTests
{
    [Fact]
    public void CopyFrom_OtherCountOrDomains_IsRefusedAndChangesNothing()
    {
        ColumnStatistics columns = new(3, [AveragingDomain.Power]);
        columns.Add(1, 40, []);

        Assert.Throws<ArgumentException>(() => columns.CopyFrom(new ColumnStatistics(2, [AveragingDomain.Power])));
        Assert.Throws<ArgumentException>(() => columns.CopyFrom(new ColumnStatistics(3, [])));
        Assert.Throws<ArgumentException>(() => columns.CopyFrom(new ColumnStatistics(3, [AveragingDomain.Power, AveragingDomain.Level])));

        Assert.Equal([0L, 1, 0], columns.Counts.ToArray());
        Assert.Equal(40, columns.HighestCodes[1]);
    }

    [Fact]
    public void Domain_WithoutAName_IsRefused()
    {
        Assert.Throws<ArgumentOutOfRangeException>(() => new ColumnStatistics(3, [(AveragingDomain)3]));

        ColumnStatistics columns = new(3, [AveragingDomain.Power]);
        Assert.True(columns.Has(AveragingDomain.Power));
        Assert.False(columns.Has((AveragingDomain)(-1)));
        Assert.Throws<InvalidOperationException>(() => _ = columns.DomainSums((AveragingDomain)7).Length);
    }
}
