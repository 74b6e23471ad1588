namespace Acquire.Traces;

/// <summary>Reads values, peaks and widths off a trace.</summary>
/// <remarks>
/// <para>A trace is two spans of equal length: positions, the centres of the columns, strictly rising or strictly falling, in any unit; and
/// values, NaN where unfilled. Between two centres the trace is the straight line between them.</para>
/// <para>Functions of their arguments only: any thread, nothing kept. Nothing is found rather than something invented: each result says why.</para>
/// </remarks>
public static partial class TraceMarkers
{
    /// <summary>Reads the value at a position.</summary>
    /// <param name="positions">Centres of the columns.</param>
    /// <param name="values">Values, NaN where unfilled.</param>
    /// <param name="position">Position to read at. In the outer halves of the outer columns the value is that of the column.</param>
    /// <returns>Interpolated between the two centres next to it; not found where one of them is unfilled.</returns>
    /// <exception cref="ArgumentException">There is not one position per value.</exception>
    public static MarkerReading ValueAt(ReadOnlySpan<double> positions, ReadOnlySpan<double> values, double position)
    {
        CheckLengths(positions, values);
        int count = positions.Length;
        if (count == 0) return MarkerReading.None(MarkerOutcome.NothingFilled);
        double sign = count == 1 || positions[^1] > positions[0] ? 1 : -1;
        double first = sign * positions[0], last = sign * positions[^1], wanted = sign * position;
        double halfFirst = count > 1 ? ((sign * positions[1]) - first) / 2 : 0;
        double halfLast = count > 1 ? (last - (sign * positions[^2])) / 2 : 0;
        if (!(wanted >= first - halfFirst && wanted <= last + halfLast)) return MarkerReading.None(MarkerOutcome.OutsideTrace);
        if (wanted <= first) return At(values, 0, position);
        if (wanted >= last) return At(values, count - 1, position);

        int low = 0, high = count - 1;
        while (high - low > 1)
        {
            int middle = (low + high) >>> 1;
            if (sign * positions[middle] <= wanted) low = middle;
            else high = middle;
        }

        if (sign * positions[low] == wanted) return At(values, low, position);
        double fraction = (wanted - (sign * positions[low])) / (sign * (positions[high] - positions[low]));
        if (double.IsNaN(values[low]) || double.IsNaN(values[high])) return MarkerReading.None(MarkerOutcome.Unfilled);
        return new MarkerReading(MarkerOutcome.Found, fraction < 0.5 ? low : high, position, Between(values[low], values[high], fraction));
    }

    /// <summary>Finds the highest value; the first column of several equal ones.</summary>
    /// <param name="positions">Centres of the columns.</param>
    /// <param name="values">Values, NaN where unfilled.</param>
    /// <exception cref="ArgumentException">There is not one position per value.</exception>
    public static MarkerReading Highest(ReadOnlySpan<double> positions, ReadOnlySpan<double> values)
    {
        CheckLengths(positions, values);
        int found = -1;
        for (int i = 0; i < values.Length; i++)
            if (!double.IsNaN(values[i]) && (found < 0 || values[i] > values[found])) found = i;
        return AtColumn(positions, values, found);
    }

    /// <summary>Finds the lowest value; the first column of several equal ones.</summary>
    /// <param name="positions">Centres of the columns.</param>
    /// <param name="values">Values, NaN where unfilled.</param>
    /// <exception cref="ArgumentException">There is not one position per value.</exception>
    public static MarkerReading Lowest(ReadOnlySpan<double> positions, ReadOnlySpan<double> values)
    {
        CheckLengths(positions, values);
        int found = -1;
        for (int i = 0; i < values.Length; i++)
            if (!double.IsNaN(values[i]) && (found < 0 || values[i] < values[found])) found = i;
        return AtColumn(positions, values, found);
    }

    /// <summary>Compares two markers.</summary>
    /// <param name="first">The marker to count from.</param>
    /// <param name="second">The marker to count to.</param>
    public static MarkerDifference Difference(MarkerReading first, MarkerReading second)
    {
        MarkerOutcome outcome = first.IsFound ? second.Outcome : first.Outcome;
        return new MarkerDifference(outcome, second.Position - first.Position, second.Value - first.Value);
    }

    /// <summary>What to say of an outcome.</summary>
    /// <param name="outcome">Outcome of a marker.</param>
    /// <returns>One sentence; empty when found.</returns>
    public static string Explain(MarkerOutcome outcome) => outcome switch
    {
        MarkerOutcome.NothingFilled => "The trace has no filled column yet; wait for a sweep.",
        MarkerOutcome.OutsideTrace => "The position lies outside of the trace; give one between its edges.",
        MarkerOutcome.Unfilled => "There is no reading at this position; use fewer columns or a slower sweep.",
        MarkerOutcome.NoPeak => "No peak rises above its surroundings by the excursion asked for; ask for a smaller excursion.",
        MarkerOutcome.NotDeepEnough => "The notch is not as deep as the level asked for; ask for a level closer to its shoulder, or give the shoulder.",
        MarkerOutcome.LowerEdgeNotReached => "The trace ends at its low side before the level is reached; widen the sweep, or ask for a level closer to the top of a peak, to the bottom of a notch.",
        MarkerOutcome.UpperEdgeNotReached => "The trace ends at its high side before the level is reached; widen the sweep, or ask for a level closer to the top of a peak, to the bottom of a notch.",
        MarkerOutcome.NoInput => "The top of the peak, or the shoulder of the notch, has no input, so no decibels lie below it; give a column or a shoulder with input, and linear values as those above no input, rising with it.",
        _ => string.Empty,
    };

    // No input is minus infinity: a line to or from it leaves its finite end at once.
    private static double Between(double left, double right, double fraction)
    {
        if (double.IsInfinity(left) || left == right) return left;
        return left + ((right - left) * fraction);
    }

    private static MarkerReading AtColumn(ReadOnlySpan<double> positions, ReadOnlySpan<double> values, int column) => column < 0
        ? MarkerReading.None(MarkerOutcome.NothingFilled)
        : new MarkerReading(MarkerOutcome.Found, column, positions[column], values[column]);

    private static MarkerReading At(ReadOnlySpan<double> values, int column, double position) => double.IsNaN(values[column])
        ? MarkerReading.None(MarkerOutcome.Unfilled)
        : new MarkerReading(MarkerOutcome.Found, column, position, values[column]);

    private static void CheckLengths(ReadOnlySpan<double> positions, ReadOnlySpan<double> values)
    {
        if (positions.Length != values.Length)
            throw new ArgumentException($"There are {positions.Length} positions but {values.Length} values; give one position per value.");
    }
}
