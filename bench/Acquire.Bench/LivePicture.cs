using Acquire.Columns;
using Acquire.Painting;
using Acquire.Scales;
using Acquire.Traces;

namespace Acquire.Bench;

/// <summary>A trace of 1,000 columns with a reference on 800 x 480 pixels, as a small display has it.</summary>
internal sealed class LivePicture
{
    public const int ColumnCount = 1_000;
    public const int Width = 800;
    public const int Height = 480;
    public const int Front = 500;

    private readonly ColumnStatistics _one = new(1, []);
    private readonly byte[] _pixels;
    private int _turn;

    public LivePicture(PixelFormat format)
    {
        Format = format;
        _pixels = new byte[Width * Height * PixelBytes];
        Painter = new TracePainter(
            new ColumnValues(new VerticalConverter(new VerticalScale(), 4_095)),
            new TracePainterOptions { GridRows = [0.25, 0.5, 0.75], GridColumns = [0.2, 0.4, 0.6, 0.8] });
        double[] reference = new double[ColumnCount];
        for (int c = 0; c < ColumnCount; c++) reference[c] = 2_400 + (600 * Math.Sin(c / 90.0));
        Painter.SetReference(reference);

        Trace.BeginSweep(0);
        for (int c = 0; c < ColumnCount; c++) Publish(c, 0, c);
        Trace.EndSweep(reachedEnd: true);
        Trace.BeginSweep(1);
        for (int c = 0; c <= Front; c++) Publish(c, 1, c + 7);
        Trace.EndPublish();
    }

    public PixelFormat Format { get; }

    public Trace Trace { get; } = new(ColumnCount, []);

    public TracePainter Painter { get; }

    public Span<byte> Pixels => _pixels;

    public PixelSurface Surface => new(_pixels, Width, Height, Width * PixelBytes, Format);

    private int PixelBytes => Format == PixelFormat.Rgb565 ? 2 : 4;

    /// <summary>Gives the front's column other readings.</summary>
    public void ChangeOneColumn()
    {
        _turn ^= 1;
        Publish(Front, 1, Front + (_turn * 300));
        Trace.EndPublish();
    }

    // Noise of some hundred codes round a slow wave: envelopes of some dozens of rows, joined to their neighbours.
    private void Publish(int column, long sweep, int phase)
    {
        _one.Clear();
        int middle = 2_000 + (int)(1_200 * Math.Sin(phase / 60.0));
        for (int i = 0; i < 8; i++) _one.Add(0, (ushort)(middle + ((phase * 131 + i * 97) % 401) - 200), []);
        Trace.AdvanceFront(column);
        Trace.PublishColumn(column, _one, 0, sweep, column);
    }
}
