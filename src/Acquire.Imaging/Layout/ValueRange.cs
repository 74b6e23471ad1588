using Acquire.Imaging.Charts;

namespace Acquire.Imaging.Layout;

/// <summary>Finds what a scale has to show.</summary>
internal static class ValueRange
{
    /// <summary>The columns' outer edges: half a column beyond the first and the last centre.</summary>
    public static ChartRange OfColumns(double[] positions)
    {
        double first = positions[0], last = positions[^1];
        if (positions.Length == 1) return new ChartRange(first - (first == 0 ? 0.5 : Math.Abs(first) * 0.05), first + (first == 0 ? 0.5 : Math.Abs(first) * 0.05));
        double half = (last - first) / (positions.Length - 1) / 2;
        return half > 0 ? new ChartRange(first - half, last + half) : new ChartRange(last + half, first - half);
    }

    /// <summary>A range around all finite values, with a little room, on round ends.</summary>
    public static ChartRange Around(IEnumerable<double[]?> lines, double headroom)
    {
        double low = double.MaxValue, high = double.MinValue;
        foreach (double[]? line in lines)
        {
            if (line is null) continue;
            foreach (double value in line)
            {
                if (!double.IsFinite(value)) continue;
                low = Math.Min(low, value);
                high = Math.Max(high, value);
            }
        }

        if (low > high) return new ChartRange(0, 1);
        double span = high - low;
        // A flat line still needs a scale: a tenth of its value either way; one of zeros has no value to go by.
        if (span <= Math.Max(Math.Abs(low), Math.Abs(high)) * 1e-9) span = high == 0 ? 1 : Math.Abs(high) * 0.2;
        double room = span * 0.04, grain = Grain(span);
        double bottom = Math.Floor((low - room) / grain) * grain, top = Math.Ceiling((high + room + (span * headroom)) / grain) * grain;
        return new ChartRange(bottom, top);
    }

    // A twentieth to a fiftieth of the span, on a round value.
    private static double Grain(double span)
    {
        double power = Math.Pow(10, Math.Floor(Math.Log10(span / 20)));
        foreach (double digit in (double[])[1, 2, 5])
        {
            if (power * digit >= span / 20) return power * digit;
        }

        return power * 10;
    }
}
