using System.Globalization;
using Acquire.Harness.Shell;
using Acquire.Imaging;

namespace Acquire.Harness.Options;

/// <summary>Reads the options that say how a chart sheet looks.</summary>
internal static class SheetOptionText
{
    /// <summary>A size: WIDTHxHEIGHT in pixels, or paper across at 300 dpi.</summary>
    public static SheetSize Size(string option, string text)
    {
        if (text.Equals("a4", StringComparison.OrdinalIgnoreCase)) return SheetSize.A4At300Dpi;
        if (text.Equals("a3", StringComparison.OrdinalIgnoreCase)) return SheetSize.A3At300Dpi;
        string[] parts = text.Split('x', 'X');
        if (parts.Length == 2 && TryPixels(parts[0], SheetSize.MinWidth, out int width) && TryPixels(parts[1], SheetSize.MinHeight, out int height))
            return new SheetSize(width, height);
        throw CommandFailure.Usage(option, $"'{text}' is no size of a sheet; give a4, a3, or pixels such as 1600x1000, "
            + $"from {SheetSize.MinWidth}x{SheetSize.MinHeight} to {SheetSize.Max}x{SheetSize.Max}");
    }

    /// <summary>The ground: light or dark.</summary>
    public static SheetStyle Style(string option, string text) => text switch
    {
        "light" => SheetStyle.LightPaper,
        "dark" => SheetStyle.Dark,
        _ => throw OptionText.NotOneOf(option, text, "light or dark"),
    };

    private static bool TryPixels(string text, int least, out int pixels) =>
        int.TryParse(text, NumberStyles.None, CultureInfo.InvariantCulture, out pixels) && pixels >= least && pixels <= SheetSize.Max;
}
