using Acquire.Painting;
using Acquire.Tests.Doubles;
using Acquire.Traces;
using CsCheck;

namespace Acquire.Tests.Painting;

/// <summary>What a painter does when something changes, and that only what differs costs anything.</summary>
public class TracePainterChangeTests
{
    private static readonly SheetColours Sheet = SheetColours.Light;

    private static readonly TracePainterOptions OnePixelLine = new() { LinePixels = 1, GapPixels = 2, Top = 4_000, Bottom = 0 };

    [Fact]
    public void Paint_OneColumnChanged_PaintsItAndItsNeighboursOnly()
    {
        var bench = new TraceBench(100);
        var painter = new TracePainter(bench.Values, OnePixelLine);
        var picture = new Picture(200, 50);
        bench.WholeSweep(_ => 1_000);
        bench.Begin();
        bench.Pass(0, 50, _ => 1_000);

        Assert.Equal(new PaintedRange(0, 200, 200), painter.Paint(bench.Trace, picture.Surface));
        Assert.True(painter.Paint(bench.Trace, picture.Surface).IsEmpty);

        // Column 50 lies on pixels 100 and 101; the join to its neighbour begins at 99, the gap ends at 104.
        bench.Pass(50, 51, _ => 2_000);
        PaintedRange range = painter.Paint(bench.Trace, picture.Surface);
        Assert.InRange(range.FirstX, 99, 100);
        Assert.InRange(range.EndX, 102, 104);
    }

    [Fact]
    public void Paint_AfterForget_PaintsEverything()
    {
        var bench = new TraceBench(10);
        var painter = new TracePainter(bench.Values, OnePixelLine);
        var picture = new Picture(10, 5);
        bench.WholeSweep(_ => 1_000);
        painter.Paint(bench.Trace, picture.Surface);
        picture.Surface.Fill(default);
        painter.Forget();

        Assert.Equal(10, painter.Paint(bench.Trace, picture.Surface).Columns);
        Assert.Equal(Sheet.Ink, picture[0, 3]);
    }

    // Both traces are at the same version, as those of an engine's verticals always are.
    [Fact]
    public void Paint_AnotherTraceAfterForget_ShowsThatTrace()
    {
        var first = new TraceBench(10);
        var second = new TraceBench(10);
        var painter = new TracePainter(first.Values, OnePixelLine);
        var picture = new Picture(20, 10);
        var fresh = new Picture(20, 10);
        first.WholeSweep(_ => 1_000);
        second.WholeSweep(c => (ushort)(300 * c));
        painter.Paint(first.Trace, picture.Surface);

        painter.Forget();
        painter.Paint(second.Trace, picture.Surface);

        new TracePainter(second.Values, OnePixelLine).Paint(second.Trace, fresh.Surface);
        Assert.Equal(first.Trace.Version, second.Trace.Version);
        Assert.True(picture.SamePixels(fresh));
    }

    [Fact]
    public void Paint_AnySequenceOfChanges_EqualsPaintingFromNothing() =>
        Gen.Select(Gen.Int[1, 40], Gen.Int[1, 60], Gen.Int[1, 30], Gen.Bool, Gen.Int[0, 3],
            Gen.Select(Gen.Int[0, 11], Gen.Int[0, 100], Gen.UShort[0, 4_095]).Array[1, 100]).Sample((columns, width, height, wide, fillOver, steps) =>
        {
            PixelFormat format = wide ? PixelFormat.Bgra8888 : PixelFormat.Rgb565;
            TracePainterOptions options = new() { GapPixels = columns % 5, LinePixels = 1 + (height % 3 / 2.0), GridRows = [0, 0.5], GridColumns = [0.25] };
            var bench = new TraceBench(columns, fillOver);
            var painter = new TracePainter(bench.Values, options);
            var picture = new Picture(width, height, format);
            double[] reference = [];
            bool underWay = false;
            foreach ((int step, int where, ushort code) in steps)
            {
                Change(bench, step, where, code, ref underWay);
                if (step == 10)
                {
                    reference = where % 2 == 0 ? [] : [.. Enumerable.Range(0, columns).Select(c => c % 7 == where % 7 ? double.NaN : (code + (c * 50)) % 4_095.0)];
                    painter.SetReference(reference);
                }

                if (step == 11) painter.Paint(bench.Trace, picture.Surface);
            }

            painter.Paint(bench.Trace, picture.Surface);
            var fresh = new Picture(width, height, format);
            var fromNothing = new TracePainter(bench.Values, options);
            fromNothing.SetReference(reference);
            fromNothing.Paint(bench.Trace, fresh.Surface);
            return picture.SamePixels(fresh) && picture.BordersAreUntouched();
        }, iter: 1_000);

    [Fact]
    public void Paint_SteadyState_AllocatesNothing()
    {
        var bench = new TraceBench(100);
        var painter = new TracePainter(bench.Values);
        var picture = new Picture(160, 40);
        painter.SetReference([.. Enumerable.Repeat(2_000.0, 100)]);
        ushort code = 0;
        Func<int, ushort?> codeOf = _ => code;

        Allocation.AssertNone(() =>
        {
            code = (ushort)((code + 37) % 4_096);
            bench.WholeSweep(codeOf);
            painter.Paint(bench.Trace, picture.Surface);
            bench.Begin();
            bench.Pass(0, 40, codeOf);
            painter.Paint(bench.Trace, picture.Surface);
        }, runs: 30);
    }

    private static void Change(TraceBench bench, int step, int where, ushort code, ref bool underWay)
    {
        Trace trace = bench.Trace;
        int column = where % trace.ColumnCount;
        switch (step)
        {
            case 0 or 1 when !underWay:
                bench.Begin(movesDown: where % 3 == 0);
                underWay = true;
                break;
            case <= 5 when underWay:
                int front = Math.Max(trace.Front, 0);
                int to = trace.FrontMovesDown ? Math.Max(0, (trace.Front < 0 ? trace.ColumnCount - 1 : front) - (where % 5)) : Math.Min(trace.ColumnCount - 1, front + (where % 5));
                trace.AdvanceFront(to);
                if (step > 3) bench.Publish(to, code, (ushort)(code / 2));
                break;
            case 6 when underWay:
                trace.EndSweep(reachedEnd: where % 2 == 0);
                bench.Sweep++;
                underWay = false;
                break;
            case 7 or 8 when underWay:
                trace.SetFront(column);
                break;
            case 9 when where < 5:
                trace.StartAxis(trace.AxisNumber + 1);
                underWay = false;
                break;
            case 9:
                trace.ClearColumn(column);
                break;
        }

        trace.EndPublish();
    }
}
