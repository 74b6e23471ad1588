using Acquire.Columns;
using Acquire.Scales;
using Acquire.Traces;

namespace Acquire.Tests.Scales;

/// <summary>A number that names no averaging domain is refused in the same words wherever it is an argument; a setup's rules refuse it in theirs.</summary>
public class AveragingDomainTests
{
    public static TheoryData<Action<AveragingDomain>> Takers() => new()
    {
        domain => _ = new VerticalConverter(new VerticalScale(), 4_095, [domain]),
        domain => _ = new ColumnStatistics(3, [domain]),
        domain => new ColumnValues(new VerticalConverter(new VerticalScale(), 4_095)).Check(new ValueChoice(Detector.Average, ValueUnit.Code, domain)),
    };

    [Theory]
    [MemberData(nameof(Takers))]
    public void Domain_WithoutAName_IsRefusedWithTheSameWords(Action<AveragingDomain> take)
    {
        foreach (int number in (int[])[-1, 3, int.MaxValue, int.MinValue])
        {
            ArgumentOutOfRangeException refused = Assert.Throws<ArgumentOutOfRangeException>(() => take((AveragingDomain)number));
            Assert.StartsWith($"An averaging domain is {number}; it must be level, voltage or power.", refused.Message, StringComparison.Ordinal);
        }
    }

    [Fact]
    public void Domains_EveryName_HasAPlaceAndNoOther() => Assert.Equal(Enumerable.Range(0, AveragingDomains.Count), Enum.GetValues<AveragingDomain>().Select(domain => (int)domain));
}
