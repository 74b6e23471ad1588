namespace Acquire.Harness.Inspect.Spectra;

/// <summary>Solves the normal equations of a fit.</summary>
internal static class LeastSquares
{
    // Of a term's own square; less is what rounding leaves of one that the terms before it explain.
    private const double LeastPivot = 1e-10;

    /// <summary>Solves in place, by the square roots of Cholesky. A term that those before it explain gets no share.</summary>
    /// <param name="products">Sums of products of terms, row by row; only the upper triangle is read. Overwritten.</param>
    /// <param name="right">Sums of products of each term with the values in; the terms' coefficients out.</param>
    /// <param name="count">Terms in use, the first ones.</param>
    /// <param name="stride">Numbers in a row of <paramref name="products"/>.</param>
    public static void Solve(Span<double> products, Span<double> right, int count, int stride)
    {
        for (int row = 0; row < count; row++)
        {
            double whole = products[(row * stride) + row], pivot = whole;
            for (int k = 0; k < row; k++) pivot -= products[(k * stride) + row] * products[(k * stride) + row];
            bool isExplained = !(pivot > LeastPivot * whole);
            double root = isExplained ? 0 : Math.Sqrt(pivot), share = isExplained ? 0 : 1 / root;
            products[(row * stride) + row] = root;
            for (int column = row + 1; column < count; column++)
            {
                double sum = products[(row * stride) + column];
                for (int k = 0; k < row; k++) sum -= products[(k * stride) + row] * products[(k * stride) + column];
                products[(row * stride) + column] = sum * share;
            }

            double value = right[row];
            for (int k = 0; k < row; k++) value -= products[(k * stride) + row] * right[k];
            right[row] = value * share;
        }

        for (int row = count - 1; row >= 0; row--)
        {
            double root = products[(row * stride) + row], value = right[row];
            for (int k = row + 1; k < count; k++) value -= products[(row * stride) + k] * right[k];
            right[row] = root == 0 ? 0 : value / root;
        }
    }
}
