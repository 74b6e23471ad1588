using System.Globalization;
using Acquire.Harness.Inspect;

namespace Acquire.Harness.Capturing;

/// <summary>Says on standard error how far a capture is: in one line that changes on a terminal, in a plain line now and then elsewhere.</summary>
/// <param name="error">Gets it.</param>
/// <param name="terminal">Whether somebody looks at it.</param>
/// <param name="folder">Folder of the recording, for the room that is left.</param>
/// <param name="clock">Measures time; null is the system's clock.</param>
internal sealed class CaptureProgress(TextWriter error, bool terminal, string folder, TimeProvider? clock = null)
{
    private static readonly TimeSpan OnTerminal = TimeSpan.FromMilliseconds(250);
    private static readonly TimeSpan FirstPlain = TimeSpan.FromSeconds(10);
    private static readonly TimeSpan Plain = TimeSpan.FromMinutes(1);

    private readonly TimeProvider _clock = clock ?? TimeProvider.System;
    private readonly long _began = (clock ?? TimeProvider.System).GetTimestamp();
    private long _last = (clock ?? TimeProvider.System).GetTimestamp();
    private long _lastScans;
    private bool _printedPlain;
    private int _width;

    /// <summary>Says it if it is time.</summary>
    /// <param name="capture">The capture.</param>
    /// <param name="sweeps">Complete sweeps in it.</param>
    public void Look(CaptureReceiver capture, long sweeps)
    {
        TimeSpan since = _clock.GetElapsedTime(_last);
        if (since < (terminal ? OnTerminal : _printedPlain ? Plain : FirstPlain)) return;
        string line = Line(capture, sweeps, since);
        _last = _clock.GetTimestamp();
        _lastScans = capture.Recorder.Scans;
        if (!terminal)
        {
            _printedPlain = true;
            error.WriteLine(line);
            error.Flush();
            return;
        }

        error.Write("\r" + line.PadRight(_width));
        _width = line.Length;
        error.Flush();
    }

    /// <summary>Takes the line away.</summary>
    public void Done()
    {
        if (_width > 0) error.Write("\r" + new string(' ', _width) + "\r");
        _width = 0;
    }

    private string Line(CaptureReceiver capture, long sweeps, TimeSpan since)
    {
        CultureInfo culture = CultureInfo.InvariantCulture;
        double scansPerSecond = (capture.Recorder.Scans - _lastScans) / since.TotalSeconds;
        string losses = capture.Recorder.LostScans == 0 && capture.Recorder.Breaks == 0
            ? "nothing lost"
            : string.Create(culture, $"{capture.Recorder.LostScans:N0} lost in {capture.Recorder.Gaps:N0} gaps, {capture.Recorder.Breaks:N0} breaks");
        return string.Create(culture,
            $"{_clock.GetElapsedTime(_began).TotalSeconds:N0} s  {Say.Number(scansPerSecond, 3)} scans/s  {capture.Recorder.Scans:N0} scans  {sweeps:N0} sweeps  {losses}  {DiskLeft(scansPerSecond, capture.Description.Scan.ChannelCount)}");
    }

    private string DiskLeft(double scansPerSecond, int channels)
    {
        try
        {
            double bytes = new DriveInfo(folder).AvailableFreeSpace;
            double seconds = bytes / Math.Max(1e-9, scansPerSecond * channels * sizeof(ushort));
            string room = string.Create(CultureInfo.InvariantCulture, $"disk: {bytes / 1e9:N1} GB left");
            return seconds > 1e6 ? room : room + string.Create(CultureInfo.InvariantCulture, $", {(seconds >= 7_200 ? $"{seconds / 3_600:N0} h" : $"{seconds / 60:N0} min")}");
        }
        catch (Exception exception) when (exception is IOException or UnauthorizedAccessException or ArgumentException)
        {
            return "disk: unknown";
        }
    }
}
