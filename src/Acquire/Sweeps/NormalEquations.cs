namespace Acquire.Sweeps;

/// <summary>A few unknowns by least squares: sums of products of what belongs to each, and of that by what was measured.</summary>
internal readonly ref struct NormalEquations
{
    // Of an unknown's own sum of squares: less is rounding, and the unknown is one of those before it.
    private const double Dependent = 1e-10;

    private readonly Span<double> _sums;
    private readonly int _most;

    /// <param name="room">Where they are kept: <paramref name="most"/> rows of one number more than that.</param>
    /// <param name="most">Most unknowns.</param>
    public NormalEquations(Span<double> room, int most)
    {
        room.Clear();
        _sums = room;
        _most = most;
    }

    /// <summary>Sum of the products of two unknowns, the first one not behind the second.</summary>
    public void Set(int first, int second, double sum) => _sums[At(first, second)] = sum;

    /// <summary>Sum of the products of an unknown and what was measured.</summary>
    public void SetRight(int unknown, double sum) => _sums[At(unknown, _most)] = sum;

    /// <summary>What is known of an unknown before: its weight, and that times its value.</summary>
    public void Add(int unknown, double weight, double weighted)
    {
        _sums[At(unknown, unknown)] += weight;
        _sums[At(unknown, _most)] += weighted;
    }

    /// <summary>What the first unknowns explain of the sum of squares of what was measured; the sums are eliminated by it.</summary>
    /// <param name="unknowns">How many.</param>
    public double Explained(int unknowns)
    {
        double explained = 0;
        for (int i = 0; i < unknowns; i++)
        {
            double own = _sums[At(i, i)], right = _sums[At(i, _most)];
            if (!(own > 0)) continue;
            explained += right * right / own;
            for (int j = i + 1; j < unknowns; j++)
            {
                double share = _sums[At(i, j)] / own, before = _sums[At(j, j)];
                for (int k = j; k < unknowns; k++) _sums[At(j, k)] -= share * _sums[At(i, k)];
                _sums[At(j, _most)] -= share * right;
                if (_sums[At(j, j)] < Dependent * before) _sums[At(j, j)] = 0;
            }
        }

        return explained;
    }

    /// <summary>The unknowns, once what they explain has been asked for.</summary>
    /// <param name="values">Takes them: as many as were asked for; 0 for one that others stand for.</param>
    public void Solve(Span<double> values)
    {
        for (int i = values.Length - 1; i >= 0; i--)
        {
            double own = _sums[At(i, i)], right = _sums[At(i, _most)];
            for (int k = i + 1; k < values.Length; k++) right -= _sums[At(i, k)] * values[k];
            values[i] = own > 0 ? right / own : 0;
        }
    }

    private int At(int row, int column) => (row * (_most + 1)) + column;
}
