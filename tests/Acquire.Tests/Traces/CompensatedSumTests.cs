using Acquire.Traces;

namespace Acquire.Tests.Traces;

public class CompensatedSumTests
{
    // NIST/ITL StRD univariate sets NumAcc2, NumAcc3 and NumAcc4: 1001 values, the first the mean itself, then 500 pairs 0.1 below and above;
    // certified means 1.2, 1000000.2 and 10000000.2.
    [Theory]
    [InlineData(1.2)]
    [InlineData(1_000_000.2)]
    [InlineData(10_000_000.2)]
    public void Add_NistNumericalAccuracySets_HasTheCertifiedMean(double certified)
    {
        double sum = 0, correction = 0;
        decimal mean = (decimal)certified;

        CompensatedSum.Add(ref sum, ref correction, certified);
        for (int i = 0; i < 500; i++)
        {
            CompensatedSum.Add(ref sum, ref correction, (double)(mean - 0.1m));
            CompensatedSum.Add(ref sum, ref correction, (double)(mean + 0.1m));
        }

        Assert.Equal(certified, (sum + correction) / 1_001, Math.BitIncrement(certified) - certified);
    }

    [Fact]
    public void Add_LargeTermsThatCancel_KeepsTheSmallOne()
    {
        double sum = 0, correction = 0;

        foreach (double term in new[] { 1.0, 1e100, 1.0, -1e100 }) CompensatedSum.Add(ref sum, ref correction, term);

        Assert.Equal(2, sum + correction);
    }

    [Fact]
    public void Add_MinusInfinity_StaysMinusInfinity()
    {
        double sum = 0, correction = 0;

        foreach (double term in new[] { 1.0, double.NegativeInfinity, 1.0 }) CompensatedSum.Add(ref sum, ref correction, term);

        Assert.Equal(double.NegativeInfinity, sum + correction);
    }
}
