using System.IO.MemoryMappedFiles;
using Acquire;
using Acquire.Capture;
using Acquire.Columns;
using Acquire.Painting;
using Acquire.Scales;
using Acquire.Traces;

// Paints the trace of an instrument into a frame buffer that is mapped into memory. One thread brings scans, one turns the loop.
internal sealed unsafe class DisplayLoop : ISweepSink, IDisposable
{
    public const int Width = 800, Height = 480, BytesPerRow = 2 * Width;

    private readonly PingPongBuffer _buffer = new(new() { ScansPerHalf = 1_024 });
    private readonly SweepEngine _engine;
    private readonly TracePainter _painter;
    private readonly MemoryMappedFile _file;
    private readonly MemoryMappedViewAccessor _view;
    private readonly byte* _pixels;

    // Everything that will ever be needed is allocated here.
    public DisplayLoop(Setup setup, string frameBufferName)
    {
        _engine = new SweepEngine(setup, this);
        _painter = new TracePainter(new ColumnValues(_engine.Verticals[0]), new()
        {
            Choice = new(Detector.Peak, ValueUnit.Level),
            Bottom = -100,
            Top = 0,
            Colours = SheetColours.Dark,
            GridRows = [0, 0.2, 0.4, 0.6, 0.8, 1],
            GridColumns = [0.2, 0.4, 0.6, 0.8],
        });
        _file = MemoryMappedFile.CreateFromFile(frameBufferName, FileMode.Open, mapName: null, BytesPerRow * Height);
        _view = _file.CreateViewAccessor(0, BytesPerRow * Height);
        _view.SafeMemoryMappedViewHandle.AcquirePointer(ref _pixels);
        _pixels += _view.PointerOffset;
    }

    public int WholeSweeps { get; private set; }

    public long LostScans => _engine.Accounting.Lost;

    // The thread that brings scans: interleaved, whole scans, at most one half. Returns at once, whatever the other side does.
    public void ScansArrived(ReadOnlySpan<ushort> scans)
    {
        if (_buffer.TryBeginFill(out Span<ushort> half))
        {
            scans.CopyTo(half);
            _buffer.CompleteFill(scans.Length / 2);
        }
        else
        {
            _buffer.Skip(scans.Length / 2, GapCause.Overrun);
        }
    }

    // The loop's thread: takes what is ready, then paints what has changed. False: nothing did, wait for the next half.
    public bool Turn()
    {
        while (_buffer.TryBeginDrain(out DrainedHalf half))
        {
            foreach (ScanGap gap in half.GapsBefore)
            {
                if (gap.IsBreak) _engine.Break(gap.Cause);
                else _engine.Skip(gap.LostScans, gap.Cause);
            }

            _engine.Process(half.Scans);
            _buffer.CompleteDrain();
        }

        var screen = new PixelSurface(new Span<byte>(_pixels, BytesPerRow * Height), Width, Height, BytesPerRow, PixelFormat.Rgb565);
        return !_painter.Paint(_engine.Traces[0], screen).IsEmpty;
    }

    // Called from within Turn. The view is valid until this returns.
    public void SweepEnded(in SweepView sweep)
    {
        if (sweep.Info.Complete) WholeSweeps++;
    }

    // When neither side will call again.
    public void Dispose()
    {
        _view.SafeMemoryMappedViewHandle.ReleasePointer();
        _view.Dispose();
        _file.Dispose();
    }
}
