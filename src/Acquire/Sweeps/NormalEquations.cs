namespace Acquire.Sweeps;

/// <summary>A few unknowns by least squares: sums of products of what belongs to each, and of that by what was measured.</summary>
/// <param name="most">Most unknowns.</param>
internal sealed class NormalEquations(int most)
{
    // Of an unknown's own sum of squares: less is rounding, and the unknown is one of those before it.
    private const double Dependent = 1e-10;

    // A row an unknown, one number more than those for what was measured.
    private readonly double[] _sums = new double[most * (most + 1)];

    /// <summary>Sets all sums to 0.</summary>
    public void Clear() => Array.Clear(_sums);

    /// <summary>Sum of the products of two unknowns, the first one not behind the second.</summary>
    public void Set(int first, int second, double sum) => _sums[At(first, second)] = sum;

    /// <summary>Adds to the sum of the products of two unknowns, the first one not behind the second.</summary>
    public void Add(int first, int second, double sum) => _sums[At(first, second)] += sum;

    /// <summary>Sum of the products of an unknown and what was measured.</summary>
    public void SetRight(int unknown, double sum) => _sums[At(unknown, most)] = sum;

    /// <summary>What the first unknowns explain of the sum of squares of what was measured; the sums are eliminated by it.</summary>
    /// <param name="unknowns">How many.</param>
    public double Explained(int unknowns)
    {
        double explained = 0;
        for (int i = 0; i < unknowns; i++)
        {
            double own = _sums[At(i, i)], right = _sums[At(i, most)];
            if (!(own > 0)) continue;
            explained += right * right / own;
            for (int j = i + 1; j < unknowns; j++)
            {
                double share = _sums[At(i, j)] / own, before = _sums[At(j, j)];
                for (int k = j; k < unknowns; k++) _sums[At(j, k)] -= share * _sums[At(i, k)];
                _sums[At(j, most)] -= share * right;
                if (_sums[At(j, j)] < Dependent * before) _sums[At(j, j)] = 0;
            }
        }

        return explained;
    }

    /// <summary>What one more unknown explains, once what those before it explain has been asked for; it becomes the last one.</summary>
    /// <param name="unknown">Its place, which is the number of those before it; their sums of products by it are set.</param>
    public double ExplainedByLast(int unknown)
    {
        double own = _sums[At(unknown, unknown)], before = own, right = _sums[At(unknown, most)];
        for (int i = 0; i < unknown; i++)
        {
            double other = _sums[At(i, i)];
            if (!(other > 0)) continue;
            double share = _sums[At(i, unknown)] / other;
            for (int j = i + 1; j < unknown; j++) _sums[At(j, unknown)] -= share * _sums[At(i, j)];
            own -= share * _sums[At(i, unknown)];
            right -= share * _sums[At(i, most)];
        }

        if (own < Dependent * before) own = 0;
        (_sums[At(unknown, unknown)], _sums[At(unknown, most)]) = (own, right);
        return own > 0 ? right * right / own : 0;
    }

    /// <summary>The unknowns, once what they explain has been asked for.</summary>
    /// <param name="values">Takes them: as many as were asked for; 0 for one that others stand for.</param>
    public void Solve(Span<double> values)
    {
        for (int i = values.Length - 1; i >= 0; i--)
        {
            double own = _sums[At(i, i)], right = _sums[At(i, most)];
            for (int k = i + 1; k < values.Length; k++) right -= _sums[At(i, k)] * values[k];
            values[i] = own > 0 ? right / own : 0;
        }
    }

    private int At(int row, int column) => (row * (most + 1)) + column;
}
