namespace Acquire.Imaging.Layout;

/// <summary>Which column lies at a pixel of an axis, as a fraction: column i reaches from i to i + 1, from left to right.</summary>
internal sealed class ColumnRule
{
    // Centres that a person wrote in decimals are off by some last bits; an axis with a shape is off by far more.
    private const double Even = 1e-6;

    private readonly double[]? _centrePixels;
    private readonly double _columnsPerPixel;

    /// <summary>Makes the rule.</summary>
    /// <param name="positions">Centres of the columns, rising or falling.</param>
    /// <param name="low">Value at the axis' left end.</param>
    /// <param name="high">Value at its right end.</param>
    /// <param name="width">Pixels between them.</param>
    public ColumnRule(double[] positions, double low, double high, int width)
    {
        int count = positions.Length;
        _columnsPerPixel = count / (double)width;
        double[] centres = [.. positions.Select(position => (position - low) / (high - low) * width)];
        if (count > 1 && centres[1] < centres[0]) Array.Reverse(centres);
        bool isEven = centres.Index().All(centre => Math.Abs((centre.Item * _columnsPerPixel) - (centre.Index + 0.5)) < Even);
        if (!isEven && count > 1) _centrePixels = centres;
    }

    /// <summary>The column at a pixel; beyond the outer centres as between the two next to them.</summary>
    public double ColumnAt(double pixel)
    {
        if (_centrePixels is not { } centres) return pixel * _columnsPerPixel;
        int found = Array.BinarySearch(centres, pixel);
        int right = Math.Clamp(found < 0 ? ~found : found, 1, centres.Length - 1);
        return right - 0.5 + ((pixel - centres[right - 1]) / (centres[right] - centres[right - 1]));
    }
}
