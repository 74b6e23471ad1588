using Acquire.Imaging.Charts;
using Acquire.Imaging.Scenes;
using Acquire.Painting;

namespace Acquire.Imaging.Layout;

/// <summary>Paints a history at the sheet's own pixels, so that no row or column is lost between two of them.</summary>
internal sealed class HistoryImage(Canvas canvas, PlotFrame frame, HistoryChart chart, ChartRange levels)
{
    // Rows that come later than this many usual spacings left time uncovered.
    private const double LateRow = 1.5;

    /// <summary>Paints the field: a pixel that covers several columns or rows shows the highest of them.</summary>
    public ImageElement Paint()
    {
        int width = (int)frame.Field.Width, height = (int)frame.Field.Height;
        (int[] first, int[] end) = ColumnsOfPixels(width);
        (int First, int End)[] rows = RowsOfPixels(height);
        double[] highest = new double[width];
        byte[] rgba = new byte[width * height * 4];
        bool isWhole = false;
        for (int y = 0; y < height; y++)
        {
            // Pixel rows that show the same sweeps are the same, unless hatching runs through them.
            if (y > 0 && isWhole && rows[y] == rows[y - 1])
            {
                rgba.AsSpan((y - 1) * width * 4, width * 4).CopyTo(rgba.AsSpan(y * width * 4));
                continue;
            }

            Array.Fill(highest, double.NaN);
            for (int row = rows[y].First; row < rows[y].End; row++) Raise(highest, chart.Rows[row], first, end);
            isWhole = !Array.Exists(highest, double.IsNaN);
            for (int x = 0; x < width; x++) Put(rgba, (y * width) + x, double.IsNaN(highest[x]) ? Hatching.At(x, y, canvas) : ColourOf(highest[x]));
        }

        return new ImageElement(frame.Field, width, height, rgba, $"{chart.Rows.Count} sweeps of {chart.Positions.Length} columns");
    }

    /// <summary>Sets one pixel.</summary>
    public static void Put(byte[] rgba, int pixel, Colour colour) =>
        (rgba[pixel * 4], rgba[(pixel * 4) + 1], rgba[(pixel * 4) + 2], rgba[(pixel * 4) + 3]) = (colour.Red, colour.Green, colour.Blue, 255);

    /// <summary>The middle one of the times between rows, in seconds; 1 for a single row.</summary>
    public static double UsualSpacing(double[] rowSeconds)
    {
        if (rowSeconds.Length < 2) return 1;
        double[] spacings = [.. Enumerable.Range(1, rowSeconds.Length - 1).Select(i => rowSeconds[i] - rowSeconds[i - 1]).Order()];
        return spacings[spacings.Length / 2];
    }

    /// <summary>When a row began, in seconds: at the end of the row before, or a usual spacing before its own end where it came late.</summary>
    public static double StartOf(double[] rowSeconds, int row, double usual) => row > 0 && !IsLate(rowSeconds, row, usual) ? rowSeconds[row - 1] : rowSeconds[row] - usual;

    /// <summary>Whether time before a row is covered by no row.</summary>
    public static bool IsLate(double[] rowSeconds, int row, double usual) => row > 0 && rowSeconds[row] - rowSeconds[row - 1] > usual * LateRow;

    // What has no input is infinitely far down, and takes the lowest colour.
    private Colour ColourOf(double value) => canvas.Style.Ramp.At((value - levels.Low) / (levels.High - levels.Low));

    private static void Raise(double[] pixels, double[] values, int[] first, int[] end)
    {
        for (int x = 0; x < pixels.Length; x++)
        {
            for (int c = first[x]; c < end[x]; c++)
            {
                if (!double.IsNaN(values[c]) && !(values[c] <= pixels[x])) pixels[x] = values[c];
            }
        }
    }

    // The rows that each row of pixels shows; none where time is covered by no row. A row is at least one pixel high.
    private (int First, int End)[] RowsOfPixels(int height)
    {
        var shown = new (int First, int End)[height];
        double usual = UsualSpacing(chart.RowSeconds);
        for (int row = 0; row < chart.Rows.Count; row++)
        {
            double from = frame.Y.At(StartOf(chart.RowSeconds, row, usual)), to = frame.Y.At(chart.RowSeconds[row]);
            int top = Math.Clamp((int)Math.Round(from - frame.Field.Top), 0, height - 1), bottom = Math.Clamp((int)Math.Round(to - frame.Field.Top), top + 1, height);
            for (int y = top; y < bottom; y++) shown[y] = (shown[y].End == 0 ? row : shown[y].First, row + 1);
        }

        return shown;
    }

    // The columns whose centres lie in a pixel; where columns are wider than pixels, the one that covers the pixel's middle.
    private (int[] First, int[] End) ColumnsOfPixels(int width)
    {
        int count = chart.Positions.Length;
        bool isRising = count < 2 || chart.Positions[1] > chart.Positions[0];
        ColumnRule rule = new(chart.Positions, frame.X.Low, frame.X.High, width);
        int[] first = new int[width], end = new int[width];
        for (int x = 0; x < width; x++)
        {
            int from = Math.Max(0, (int)Math.Ceiling(rule.ColumnAt(x) - 0.5)), to = Math.Min(count, (int)Math.Ceiling(rule.ColumnAt(x + 1) - 0.5));
            if (to <= from)
            {
                from = Math.Clamp((int)rule.ColumnAt(x + 0.5), 0, count - 1);
                to = from + 1;
            }

            (first[x], end[x]) = isRising ? (from, to) : (count - to, count - from);
        }

        return (first, end);
    }
}
