using Acquire.Painting;
using BenchmarkDotNet.Attributes;

namespace Acquire.Bench;

/// <summary>What does one changed column of 1,000 cost on 800 x 480 pixels, against clearing them? An operation is a change.</summary>
[MemoryDiagnoser]
public class PaintOneColumn
{
    private LivePicture _picture = null!;

    [Params(PixelFormat.Rgb565, PixelFormat.Bgra8888)]
    public PixelFormat Format { get; set; }

    [GlobalSetup]
    public void Setup()
    {
        _picture = new LivePicture(Format);
        _picture.Painter.Paint(_picture.Trace, _picture.Surface);
    }

    [Benchmark(Baseline = true)]
    public byte ClearOnly()
    {
        _picture.Pixels.Clear();
        return _picture.Pixels[0];
    }

    [Benchmark]
    public int Paint()
    {
        _picture.ChangeOneColumn();
        return _picture.Painter.Paint(_picture.Trace, _picture.Surface).Columns;
    }
}
