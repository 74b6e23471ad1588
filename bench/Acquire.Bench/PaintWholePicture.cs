using Acquire.Painting;
using BenchmarkDotNet.Attributes;

namespace Acquire.Bench;

/// <summary>What does painting 800 x 480 pixels from nothing cost, against clearing the same memory? An operation is a picture.</summary>
[MemoryDiagnoser]
public class PaintWholePicture
{
    private LivePicture _picture = null!;

    [Params(PixelFormat.Rgb565, PixelFormat.Bgra8888)]
    public PixelFormat Format { get; set; }

    [GlobalSetup]
    public void Setup() => _picture = new LivePicture(Format);

    [Benchmark(Baseline = true)]
    public byte ClearOnly()
    {
        _picture.Pixels.Clear();
        return _picture.Pixels[0];
    }

    [Benchmark]
    public int Paint()
    {
        _picture.Painter.Forget();
        return _picture.Painter.Paint(_picture.Trace, _picture.Surface).Columns;
    }
}
