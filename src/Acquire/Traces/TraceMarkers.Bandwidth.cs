using System.Buffers;
using System.Runtime.CompilerServices;
using Acquire.Scales;

namespace Acquire.Traces;

/// <content>Widths of peaks and notches.</content>
public static partial class TraceMarkers
{
    /// <summary>Measures the width of a peak at a level below its top.</summary>
    /// <param name="positions">Centres of the columns.</param>
    /// <param name="values">Values, NaN where unfilled.</param>
    /// <param name="levelDb">Level relative to the top, in decibels, below 0 and finite: -3.01, -60.</param>
    /// <param name="column">Column of the top; null is the highest of the trace.</param>
    /// <param name="law">What the values are: decibels (the default), or proportional to voltage or power with 0 for no input.</param>
    /// <returns>The edges nearest to the top on both sides at which the trace crosses the level.</returns>
    /// <exception cref="ArgumentException">There is not one position per value.</exception>
    /// <exception cref="ArgumentOutOfRangeException">The level is not below 0 and finite.</exception>
    public static BandwidthReading PeakBandwidth(
        ReadOnlySpan<double> positions, ReadOnlySpan<double> values, double levelDb, int? column = null, VerticalLaw law = VerticalLaw.Logarithmic)
    {
        CheckLengths(positions, values);
        CheckLevel(levelDb);
        MarkerReading top = ExtremeAt(positions, values, column, BandwidthKind.Peak);
        var asked = new BandwidthReading { Kind = BandwidthKind.Peak, Extreme = top, LevelDb = levelDb, ReferenceValue = top.Value, Outcome = top.Outcome };
        if (!top.IsFound) return asked;
        if (!HasInput(top.Value, law)) return asked with { Outcome = MarkerOutcome.NoInput };
        return FindEdges(asked, positions, values, Threshold(top.Value, levelDb, law));
    }

    /// <summary>Measures the width of a notch at a level below its shoulder.</summary>
    /// <param name="positions">Centres of the columns.</param>
    /// <param name="values">Values, NaN where unfilled.</param>
    /// <param name="levelDb">Level relative to the shoulder, in decibels, below 0 and finite.</param>
    /// <param name="shoulder">Value beside the notch, in the unit of the values: 0 dB for a normalised trace; null is <see cref="Shoulder"/>,
    /// and the outcome is unfilled where that has no column to go by.</param>
    /// <param name="column">Column of the bottom; null is the lowest of the trace.</param>
    /// <param name="law">What the values are: decibels (the default), or proportional to voltage or power with 0 for no input.</param>
    /// <returns>The edges nearest to the bottom on both sides at which the trace crosses the level.</returns>
    /// <exception cref="ArgumentException">There is not one position per value.</exception>
    /// <exception cref="ArgumentOutOfRangeException">The level is not below 0 and finite.</exception>
    public static BandwidthReading NotchBandwidth(
        ReadOnlySpan<double> positions, ReadOnlySpan<double> values, double levelDb, double? shoulder = null, int? column = null,
        VerticalLaw law = VerticalLaw.Logarithmic)
    {
        CheckLengths(positions, values);
        CheckLevel(levelDb);
        MarkerReading bottom = ExtremeAt(positions, values, column, BandwidthKind.Notch);
        double reference = shoulder ?? Shoulder(values);
        var asked = new BandwidthReading { Kind = BandwidthKind.Notch, Extreme = bottom, LevelDb = levelDb, ReferenceValue = reference, Outcome = bottom.Outcome };
        if (!bottom.IsFound) return asked;
        if (double.IsNaN(reference)) return asked with { Outcome = MarkerOutcome.Unfilled };
        if (!HasInput(reference, law)) return asked with { Outcome = MarkerOutcome.NoInput };
        double threshold = Threshold(reference, levelDb, law);
        return bottom.Value < threshold
            ? FindEdges(asked, positions, values, threshold)
            : asked with { Outcome = MarkerOutcome.NotDeepEnough };
    }

    /// <summary>Measures the shape factor of a peak.</summary>
    /// <param name="positions">Centres of the columns.</param>
    /// <param name="values">Values, NaN where unfilled.</param>
    /// <param name="outerDb">Level of the wider width, from the top; default -60 dB.</param>
    /// <param name="innerDb">Level of the narrower width, from the top, above <paramref name="outerDb"/>; default half power, -3.0103 dB.</param>
    /// <param name="column">Column of the top; null is the highest of the trace.</param>
    /// <param name="law">What the values are.</param>
    /// <exception cref="ArgumentException">There is not one position per value.</exception>
    /// <exception cref="ArgumentOutOfRangeException">A level is not below 0 and finite, or the outer one is not the lower.</exception>
    public static ShapeFactorReading PeakShapeFactor(
        ReadOnlySpan<double> positions, ReadOnlySpan<double> values, double outerDb = -60, double innerDb = HalfPowerDb, int? column = null,
        VerticalLaw law = VerticalLaw.Logarithmic)
    {
        CheckLevels(outerDb, innerDb);
        return Compare(PeakBandwidth(positions, values, innerDb, column, law), PeakBandwidth(positions, values, outerDb, column, law));
    }

    /// <summary>Measures the shape factor of a notch.</summary>
    /// <param name="positions">Centres of the columns.</param>
    /// <param name="values">Values, NaN where unfilled.</param>
    /// <param name="outerDb">Level of the width near the bottom, from the shoulder; default -60 dB.</param>
    /// <param name="innerDb">Level of the width near the shoulder, above <paramref name="outerDb"/>; default half power, -3.0103 dB.</param>
    /// <param name="shoulder">Value beside the notch; null is <see cref="Shoulder"/>.</param>
    /// <param name="column">Column of the bottom; null is the lowest of the trace.</param>
    /// <param name="law">What the values are.</param>
    /// <exception cref="ArgumentException">There is not one position per value.</exception>
    /// <exception cref="ArgumentOutOfRangeException">A level is not below 0 and finite, or the outer one is not the lower.</exception>
    public static ShapeFactorReading NotchShapeFactor(
        ReadOnlySpan<double> positions, ReadOnlySpan<double> values, double outerDb = -60, double innerDb = HalfPowerDb, double? shoulder = null,
        int? column = null, VerticalLaw law = VerticalLaw.Logarithmic)
    {
        CheckLevels(outerDb, innerDb);
        return Compare(
            NotchBandwidth(positions, values, innerDb, shoulder, column, law), NotchBandwidth(positions, values, outerDb, shoulder, column, law));
    }

    /// <summary>Half power, in decibels: 10 log10(1/2).</summary>
    public const double HalfPowerDb = -3.010299956639812;

    /// <summary>The level beside a notch: the median of the filled values in the first and the last tenth of the columns.</summary>
    /// <param name="values">Values, NaN where unfilled.</param>
    /// <returns>NaN where none is filled there.</returns>
    public static double Shoulder(ReadOnlySpan<double> values)
    {
        if (values.IsEmpty) return double.NaN;
        int tenth = Math.Max(1, values.Length / 10);
        double[] rented = ArrayPool<double>.Shared.Rent(2 * tenth);
        int count = 0;
        for (int i = 0; i < values.Length; i++)
        {
            if (i == tenth && values.Length - tenth > i) i = values.Length - tenth;
            if (!double.IsNaN(values[i])) rented[count++] = values[i];
        }

        Span<double> outer = rented.AsSpan(0, count);
        outer.Sort();
        double median = count == 0 ? double.NaN : (outer[(count - 1) / 2] / 2) + (outer[count / 2] / 2);
        ArrayPool<double>.Shared.Return(rented);
        return median;
    }

    private static ShapeFactorReading Compare(BandwidthReading inner, BandwidthReading outer) =>
        new(inner.IsFound ? outer.Outcome : inner.Outcome, inner, outer);

    private static MarkerReading ExtremeAt(ReadOnlySpan<double> positions, ReadOnlySpan<double> values, int? column, BandwidthKind kind)
    {
        if (column is not { } at) return kind == BandwidthKind.Peak ? Highest(positions, values) : Lowest(positions, values);
        if ((uint)at >= (uint)values.Length) return MarkerReading.None(MarkerOutcome.OutsideTrace);
        return At(values, at, positions[at]);
    }

    // Nothing lies decibels below a value without input; a linear threshold would even lie above one below it.
    private static bool HasInput(double value, VerticalLaw law) => law == VerticalLaw.Logarithmic ? !double.IsNegativeInfinity(value) : value > 0;

    private static double Threshold(double reference, double levelDb, VerticalLaw law) => law switch
    {
        VerticalLaw.Voltage => reference * Math.Pow(10, levelDb / 20),
        VerticalLaw.Power => reference * Math.Pow(10, levelDb / 10),
        _ => reference + levelDb,
    };

    private static BandwidthReading FindEdges(BandwidthReading asked, ReadOnlySpan<double> positions, ReadOnlySpan<double> values, double threshold)
    {
        bool peak = asked.Kind == BandwidthKind.Peak;
        double left = FindEdge(positions, values, asked.Extreme.Column, -1, threshold, peak, out bool leftBridged);
        double right = FindEdge(positions, values, asked.Extreme.Column, +1, threshold, peak, out bool rightBridged);
        bool rising = positions.Length < 2 || positions[^1] > positions[0];
        (double lower, double upper) = rising ? (left, right) : (right, left);
        if (double.IsNaN(lower)) return asked with { Outcome = MarkerOutcome.LowerEdgeNotReached };
        if (double.IsNaN(upper)) return asked with { Outcome = MarkerOutcome.UpperEdgeNotReached };
        return asked with { Lower = lower, Upper = upper, Bridged = leftBridged || rightBridged };
    }

    private static double FindEdge(
        ReadOnlySpan<double> positions, ReadOnlySpan<double> values, int from, int step, double threshold, bool peak, out bool bridged)
    {
        int inside = from;
        for (int i = from + step; i >= 0 && i < values.Length; i += step)
        {
            if (double.IsNaN(values[i])) continue;
            bool crossed = peak ? values[i] <= threshold : values[i] >= threshold;
            if (!crossed)
            {
                inside = i;
                continue;
            }

            bridged = Math.Abs(i - inside) > 1;
            // No input is minus infinity: a line to it leaves its finite end at once.
            double fraction = double.IsInfinity(values[inside]) ? 1 : (threshold - values[inside]) / (values[i] - values[inside]);
            return positions[inside] + ((positions[i] - positions[inside]) * fraction);
        }

        bridged = false;
        return double.NaN;
    }

    private static void CheckLevel(double levelDb, [CallerArgumentExpression(nameof(levelDb))] string name = "")
    {
        if (!(levelDb < 0 && double.IsFinite(levelDb)))
        {
            throw new ArgumentOutOfRangeException(
                name, levelDb, $"The level is {levelDb} dB; it counts from the top or the shoulder and must be below 0 and finite, such as -3.01.");
        }
    }

    private static void CheckLevels(double outerDb, double innerDb)
    {
        if (!(outerDb < innerDb))
            throw new ArgumentOutOfRangeException(nameof(outerDb), outerDb, $"The outer level is {outerDb} dB and the inner one {innerDb} dB; the outer one must be lower.");
        CheckLevel(outerDb);
        CheckLevel(innerDb);
    }
}
