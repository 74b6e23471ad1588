using Acquire.Capture;
using Acquire.Sweeps;

namespace Acquire;

// In the middle of a sweep: whole blocks of scans at a time.
public sealed partial class SweepEngine
{
    private readonly SweepTracker? _tracker;
    private readonly ScanBlock? _block;

    /// <summary>Takes as many scans as lie in blocks within a sweep.</summary>
    /// <returns>Scans taken.</returns>
    private int TakeBlocks(ReadOnlySpan<ushort> scans)
    {
        int words = ScanBlock.Scans * _channels;
        if (_block is null || scans.Length < words || _history.End % ScanBlock.Scans != 0 || !_tracker!.TakesBlocks) return 0;
        bool resting = !_tracker.InSweep;
        if ((!resting && !_rebinner.TakesRuns(_history.End - 1)) || !_block.Prime(_history)) return 0;
        _tracker.Prime(_block);
        int taken = 0;
        for (; scans.Length - (taken * _channels) >= words && taken < _history.Capacity / 4; taken += ScanBlock.Scans)
        {
            ReadOnlySpan<ushort> block = scans.Slice(taken * _channels, words);
            if (!_block.Load(block)) break;
            int entered = resting ? _tracker.TryRest(_block, ScanBlock.First) : TakeRuns();
            if (resting) _rebinner.KeepPast(entered);
            _history.AddAll(block[..(entered * _channels)]);
            if (entered == ScanBlock.Scans)
            {
                if (!resting) _tracker.EndBlock();
                continue;
            }

            taken += entered;
            break;
        }

        if (taken > 0) _lastRamp = scans[((taken - 1) * _channels) + _rampChannel];
        return taken;
    }

    private int TakeRuns()
    {
        int entered = 0;
        while (entered < ScanBlock.Scans)
        {
            int place = ScanBlock.First + entered, n = _tracker!.TryRun(_block!, place, out CourseLine line);
            if (n == 0) break;
            _rebinner.FileRun(_block!, place, n, line);
            entered += n;
        }

        return entered;
    }
}
