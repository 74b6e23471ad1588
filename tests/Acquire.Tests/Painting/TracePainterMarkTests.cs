using Acquire.Columns;
using Acquire.Painting;
using Acquire.Tests.Doubles;

namespace Acquire.Tests.Painting;

/// <summary>How doubtful columns look.</summary>
public class TracePainterMarkTests
{
    private static readonly SheetColours Sheet = SheetColours.Light;

    private static readonly TracePainterOptions OnePixelLine = new() { LinePixels = 1, GapPixels = 2, Top = 4_000, Bottom = 0 };

    [Fact]
    public void Paint_MarkedColumns_ArePatternedUnderTheTraceAndOnlyThere()
    {
        // 24 columns on 24 pixels, flat at row 1 of 9: 0 to 7 suspect, 8 to 15 settling, 16 to 23 provisional.
        var bench = new TraceBench(24);
        var picture = new Picture(24, 9);
        bench.Begin();
        (ColumnMarks Mark, int First)[] parts = [(ColumnMarks.Suspect, 0), (ColumnMarks.Settling, 8), (ColumnMarks.Provisional, 16)];
        foreach ((ColumnMarks mark, int first) in parts)
        {
            bench.Marks = mark;
            bench.Pass(first, first + 8, _ => 3_500);
        }

        bench.End(reachedEnd: true);
        new TracePainter(bench.Values, OnePixelLine).Paint(bench.Trace, picture.Surface);

        string[] seen = [.. Enumerable.Range(0, 9).Select(y => string.Concat(Enumerable.Range(0, 24).Select(x => CharacterOf(picture[x, y]))))];
        Assert.Equal(
        [
            "m.......................",
            "########################",
            "......m.................",
            ".....m..................",
            "....m...mm..mm..........",
            "...m....mm..mm..........",
            "..m.....................",
            ".m..............mmmm....",
            "m...............mmmm....",
        ], seen);

        new TracePainter(bench.Values, OnePixelLine with { ShowMarks = false }).Paint(bench.Trace, picture.Surface);
        Assert.DoesNotContain(Sheet.Mark, Enumerable.Range(0, 9).SelectMany(y => Enumerable.Range(0, 24).Select(x => picture[x, y])));
    }

    [Fact]
    public void Paint_MarkTakenBack_LeavesNothingBehind()
    {
        var bench = new TraceBench(10);
        var painter = new TracePainter(bench.Values, OnePixelLine);
        var picture = new Picture(10, 20);
        bench.Begin();
        bench.Marks = ColumnMarks.Provisional | ColumnMarks.Suspect;
        bench.Pass(0, 10, _ => 2_000);
        painter.Paint(bench.Trace, picture.Surface);
        bench.Marks = ColumnMarks.None;
        bench.Pass(0, 10, _ => 2_000);
        painter.Paint(bench.Trace, picture.Surface);

        var fresh = new Picture(10, 20);
        new TracePainter(bench.Values, OnePixelLine).Paint(bench.Trace, fresh.Surface);
        Assert.True(picture.SamePixels(fresh));
        Assert.DoesNotContain(Sheet.Mark, ColumnOf(picture, 0));
    }

    private static char CharacterOf(Colour colour) => colour == Sheet.Ink ? '#' : colour == Sheet.Mark ? 'm' : colour == Sheet.Paper ? '.' : '?';

    private static Colour[] ColumnOf(Picture picture, int x) => [.. Enumerable.Range(0, picture.Height).Select(y => picture[x, y])];
}
