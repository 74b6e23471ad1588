using Acquire.Imaging.Charts;
using Acquire.Imaging.Layout;
using Acquire.Imaging.Lettering;
using Acquire.Imaging.Scenes;
using Acquire.Imaging.Sheets;

namespace Acquire.Imaging;

/// <summary>Draws chart sheets: a chart, and a title block that says how it was taken.</summary>
public static class ChartSheet
{
    /// <summary>Draws a sheet.</summary>
    /// <param name="definition">What it shows; its arrays are read before this returns and not kept.</param>
    /// <param name="size">How large it is.</param>
    /// <param name="style">Its colours; null is <see cref="SheetStyle.LightPaper"/>.</param>
    /// <returns>The sheet, to be written as SVG or PNG, any number of times.</returns>
    /// <remarks>Same arguments give the same scene. Keeps no state: may be called from any thread.</remarks>
    /// <exception cref="ArgumentNullException">An argument that has no default is null.</exception>
    /// <exception cref="ArgumentException">A member that has no default is null, an array's length differs from the positions', positions are not strictly monotonic, or a range is empty.</exception>
    public static Scene Render(SheetDefinition definition, SheetSize size, SheetStyle? style = null)
    {
        ArgumentNullException.ThrowIfNull(definition);
        ArgumentNullException.ThrowIfNull(size);
        SheetStyle colours = style ?? SheetStyle.LightPaper;
        NullChecks.Check(definition);
        NullChecks.Check(colours);
        ChartChecks.Check(definition.Chart);
        definition = SheetTexts.Of(definition);
        var canvas = new Canvas(colours, new SheetMetrics(size.Width, size.Height));
        ISheet sheet = definition.Chart switch
        {
            TraceChart trace => new TraceSheet(canvas, trace),
            HistoryChart history => new HistorySheet(canvas, history),
            ComparisonChart comparison => new ComparisonSheet(canvas, comparison),
            _ => throw new ArgumentException($"A {definition.Chart.GetType().Name} cannot be drawn; use a TraceChart, a HistoryChart or a ComparisonChart.", nameof(definition)),
        };
        (Box area, bool isCompact) = new SheetLayout(canvas, definition, sheet.Side(), size.Width, size.Height).Draw();
        sheet.Draw(area, isCompact);
        string description = $"{AxisNames.Y(definition.Chart)} over {AxisNames.X(definition.Chart)}, {definition.Chart.Positions.Length} columns.";
        return new Scene(size.Width, size.Height, size.DotsPerInch / 25.4, definition.TitleBlock.Title, description, colours.Paper, canvas.Elements);
    }
}
