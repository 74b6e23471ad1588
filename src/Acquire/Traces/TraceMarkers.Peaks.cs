namespace Acquire.Traces;

/// <content>Peaks by excursion.</content>
public static partial class TraceMarkers
{
    /// <summary>Finds every peak: a column from which the trace falls by at least the excursion on both sides before it rises higher.</summary>
    /// <param name="positions">Centres of the columns.</param>
    /// <param name="values">Values, NaN where unfilled; unfilled columns are passed over.</param>
    /// <param name="excursion">Least fall on both sides, positive, in the unit of the values (dB for levels).</param>
    /// <param name="peaks">Gets the peaks in column order, as many as it can hold. Of equal tops in one peak the first.</param>
    /// <returns>Number of peaks in the trace, which may be more than fitted.</returns>
    /// <exception cref="ArgumentException">There is not one position per value.</exception>
    /// <exception cref="ArgumentOutOfRangeException">The excursion is not positive.</exception>
    public static int FindPeaks(ReadOnlySpan<double> positions, ReadOnlySpan<double> values, double excursion, Span<MarkerReading> peaks)
    {
        CheckLengths(positions, values);
        CheckExcursion(excursion);
        int count = 0;
        var search = new PeakSearch(excursion);
        for (int i = 0; i < values.Length; i++)
        {
            if (!search.Next(values[i], i, out int column)) continue;
            if (count < peaks.Length) peaks[count] = AtColumn(positions, values, column);
            count++;
        }

        return count;
    }

    /// <summary>Finds the next peak towards higher columns.</summary>
    /// <param name="positions">Centres of the columns.</param>
    /// <param name="values">Values, NaN where unfilled.</param>
    /// <param name="column">Column to start from; a peak at it is not found again. -1 starts at the left edge.</param>
    /// <param name="excursion">Least fall on both sides of a peak, positive.</param>
    /// <exception cref="ArgumentException">There is not one position per value.</exception>
    /// <exception cref="ArgumentOutOfRangeException">The excursion is not positive.</exception>
    public static MarkerReading NextPeakRight(ReadOnlySpan<double> positions, ReadOnlySpan<double> values, int column, double excursion)
    {
        CheckLengths(positions, values);
        CheckExcursion(excursion);
        var search = new PeakSearch(excursion);
        for (int i = 0; i < values.Length; i++)
            if (search.Next(values[i], i, out int peak) && peak > column) return AtColumn(positions, values, peak);
        return MarkerReading.None(MarkerOutcome.NoPeak);
    }

    /// <summary>Finds the next peak towards lower columns.</summary>
    /// <param name="positions">Centres of the columns.</param>
    /// <param name="values">Values, NaN where unfilled.</param>
    /// <param name="column">Column to start from; a peak at it is not found again. The number of columns starts at the right edge.</param>
    /// <param name="excursion">Least fall on both sides of a peak, positive.</param>
    /// <exception cref="ArgumentException">There is not one position per value.</exception>
    /// <exception cref="ArgumentOutOfRangeException">The excursion is not positive.</exception>
    public static MarkerReading NextPeakLeft(ReadOnlySpan<double> positions, ReadOnlySpan<double> values, int column, double excursion)
    {
        CheckLengths(positions, values);
        CheckExcursion(excursion);
        int found = -1;
        var search = new PeakSearch(excursion);
        for (int i = 0; i < values.Length; i++)
            if (search.Next(values[i], i, out int peak) && peak < column) found = peak;
        return found < 0 ? MarkerReading.None(MarkerOutcome.NoPeak) : AtColumn(positions, values, found);
    }

    /// <summary>Finds the next lower peak: the highest of those that are lower than the one at a column, or as high and farther right.</summary>
    /// <param name="positions">Centres of the columns.</param>
    /// <param name="values">Values, NaN where unfilled.</param>
    /// <param name="column">Column of the peak to go down from, filled.</param>
    /// <param name="excursion">Least fall on both sides of a peak, positive.</param>
    /// <exception cref="ArgumentException">There is not one position per value.</exception>
    /// <exception cref="ArgumentOutOfRangeException">The excursion is not positive.</exception>
    public static MarkerReading NextPeakLower(ReadOnlySpan<double> positions, ReadOnlySpan<double> values, int column, double excursion)
    {
        CheckLengths(positions, values);
        CheckExcursion(excursion);
        if ((uint)column >= (uint)values.Length) return MarkerReading.None(MarkerOutcome.OutsideTrace);
        double top = values[column];
        if (double.IsNaN(top)) return MarkerReading.None(MarkerOutcome.Unfilled);
        int found = -1;
        var search = new PeakSearch(excursion);
        for (int i = 0; i < values.Length; i++)
        {
            if (!search.Next(values[i], i, out int peak)) continue;
            bool below = values[peak] < top || (values[peak] == top && peak > column);
            if (below && (found < 0 || values[peak] > values[found])) found = peak;
        }

        return found < 0 ? MarkerReading.None(MarkerOutcome.NoPeak) : AtColumn(positions, values, found);
    }

    private static void CheckExcursion(double excursion)
    {
        if (!(excursion > 0)) throw new ArgumentOutOfRangeException(nameof(excursion), excursion, $"The excursion is {excursion}; it must be positive.");
    }

    // Follows the trace from left to right: a valley is known until the trace has risen by the excursion, a top until it has fallen by it.
    private struct PeakSearch(double excursion)
    {
        private double _lowest = double.NaN;
        private double _top;
        private int _topColumn = -1;

        /// <summary>Takes the next column.</summary>
        /// <returns>True when a peak before this column is now certain.</returns>
        public bool Next(double value, int column, out int peakColumn)
        {
            peakColumn = -1;
            if (double.IsNaN(value)) return false;
            if (_topColumn < 0)
            {
                if (!(value >= _lowest)) _lowest = value;
                if (!(value - _lowest >= excursion)) return false;
                _top = value;
                _topColumn = column;
                return false;
            }

            if (value > _top)
            {
                _top = value;
                _topColumn = column;
            }

            if (!(_top - value >= excursion)) return false;
            peakColumn = _topColumn;
            _topColumn = -1;
            _lowest = value;
            return true;
        }
    }
}
