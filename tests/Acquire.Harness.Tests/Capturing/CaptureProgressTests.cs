using Acquire.Capture;
using Acquire.Harness.Capturing;
using Acquire.Harness.Tests.Doubles;
using Acquire.Sources.Recording;

namespace Acquire.Harness.Tests.Capturing;

public sealed class CaptureProgressTests : IDisposable
{
    private readonly ScratchFolder _folder = new();
    private readonly ManualClock _clock = new();
    private readonly StringWriter _error = new() { NewLine = "\n" };
    private readonly CaptureRecorder _recorder;
    private readonly CaptureReceiver _capture;

    public CaptureProgressTests()
    {
        _recorder = new CaptureRecorder(Path.Combine(_folder.Path, "x"));
        _capture = new CaptureReceiver(_recorder, new HeardStream(), mostScans: null, () => { }, _ => { });
    }

    public void Dispose()
    {
        _recorder.Dispose();
        _error.Dispose();
        _folder.Dispose();
    }

    [Fact]
    public void Redirected_APlainLineAfterTenSecondsAndThenOnceAMinute()
    {
        CaptureProgress progress = new(_error, terminal: false, _folder.Path, _clock);
        for (int second = 0; second < 140; second++)
        {
            _clock.Advance(TimeSpan.FromSeconds(1));
            _capture.Take(new ushort[200]);
            progress.Look(_capture, sweeps: second);
        }

        progress.Done();
        string[] lines = _error.ToString().TrimEnd('\n').Split('\n');
        Assert.Equal(3, lines.Length);
        Assert.StartsWith("10 s  100 scans/s  1,000 scans  9 sweeps  nothing lost  disk: ", lines[0], StringComparison.Ordinal);
        Assert.StartsWith("70 s  100 scans/s  7,000 scans", lines[1], StringComparison.Ordinal);
        Assert.All(lines, line => Assert.Matches(@"GB left(, [\d,]+ (min|h))?$", line));
    }

    // None a second would look like a source that is silent.
    [Fact]
    public void Redirected_LessThanAScanASecond_IsNotNone()
    {
        CaptureProgress progress = new(_error, terminal: false, _folder.Path, _clock);
        _capture.Take(new ushort[8]);
        _clock.Advance(TimeSpan.FromSeconds(10));
        progress.Look(_capture, sweeps: 0);

        Assert.StartsWith("10 s  0.4 scans/s  4 scans", _error.ToString(), StringComparison.Ordinal);
    }

    [Fact]
    public void Terminal_OneLineThatIsWrittenOverAndTakenAway()
    {
        CaptureProgress progress = new(_error, terminal: true, _folder.Path, _clock);
        for (int look = 0; look < 8; look++)
        {
            _clock.Advance(TimeSpan.FromMilliseconds(125));
            _capture.Take(new ushort[200]);
            progress.Look(_capture, sweeps: 0);
        }

        _capture.Skip(7, GapCause.Link);
        _capture.Break(GapCause.Reset, 2);
        _clock.Advance(TimeSpan.FromMilliseconds(250));
        progress.Look(_capture, sweeps: 0);
        progress.Done();

        string text = _error.ToString();
        Assert.Equal(5 + 2, text.Count(c => c == '\r'));
        Assert.DoesNotContain('\n', text);
        Assert.Contains("9 lost in 1 gaps, 1 breaks", text, StringComparison.Ordinal);
        Assert.EndsWith(" \r", text, StringComparison.Ordinal);
    }
}
