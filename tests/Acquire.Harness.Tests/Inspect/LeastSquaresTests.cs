using Acquire.Harness.Inspect.Spectra;

namespace Acquire.Harness.Tests.Inspect;

public sealed class LeastSquaresTests
{
    // 2 x + y = 5 and x + 3 y = 10, of which x = 1 and y = 3; the third row is not in use.
    [Fact]
    public void Solve_TwoTerms_SolvesBothEquations()
    {
        double[] products = [2, 1, 99, 0, 3, 99, 99, 99, 99], right = [5, 10, 99];

        LeastSquares.Solve(products, right, count: 2, stride: 3);

        Assert.Equal(1, right[0], 1e-12);
        Assert.Equal(3, right[1], 1e-12);
        Assert.Equal(99, right[2]);
    }

    [Fact]
    public void Solve_TermTwice_GivesTheSecondNone()
    {
        double[] products = [4, 4, 0, 4], right = [12, 12];

        LeastSquares.Solve(products, right, count: 2, stride: 2);

        Assert.Equal([3, 0], right);
    }
}
