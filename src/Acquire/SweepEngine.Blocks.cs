using System.Runtime.InteropServices;
using Acquire.Capture;
using Acquire.Sweeps;

namespace Acquire;

// In the middle of a sweep, of a retrace, of a rest: many scans at a time.
public sealed partial class SweepEngine
{
    private readonly SweepTracker? _tracker;
    private readonly ScanBlock? _block;
    private readonly CourseLine[] _lines = new CourseLine[ScanBlock.Most / CourseLine.Shortest];
    private readonly long[] _confirmed = new long[ScanBlock.Most / CourseLine.Shortest];

    /// <summary>Takes as many scans as can be taken many at a time.</summary>
    /// <returns>Scans taken.</returns>
    private int TakeBlocks(ReadOnlySpan<ushort> scans)
    {
        if (_block is null || _history.End < _singlyUntil || scans.Length < ScanBlock.Piece * _channels || _history.End % ScanBlock.Piece != 0 || !_tracker!.TakesBlocks) return 0;
        bool resting = !_tracker.InSweep;
        if ((!resting && !_rebinner.TakesRuns(_history.End - 1)) || !TryPrime()) return 0;
        int taken = 0;
        while (taken < _history.Capacity / 4)
        {
            ReadOnlySpan<ushort> next = LoadNext(scans[(taken * _channels)..], resting);
            if (next.Length == 0) break;
            bool drifts = false;
            int entered = resting ? TakeRest(next) : TakeRuns(next, out drifts);
            _history.AddAll(next[..(entered * _channels)]);
            taken += entered;
            if (drifts ? _tracker.LookForDrift() || !TryPrime() : entered < _block.Loaded) break;
        }

        if (taken > 0) _lastRamp = scans[((taken - 1) * _channels) + _rampChannel];
        return taken;
    }

    private bool TryPrime()
    {
        if (!_block!.Prime(_history)) return false;
        _tracker!.Prime(_block);
        return true;
    }

    /// <summary>Loads scans up to where the longest runs end, or as few as can be where one of them is no code.</summary>
    /// <returns>Their words, or none.</returns>
    private ReadOnlySpan<ushort> LoadNext(ReadOnlySpan<ushort> scans, bool resting)
    {
        int most = Math.Min(scans.Length / _channels, ScanBlock.Most - (int)(_history.End % ScanBlock.Most)) & -ScanBlock.Piece;
        if (most == 0) return default;
        ReadOnlySpan<ushort> words = scans[..(most * _channels)];
        if (!_block!.TryLoadNext(words))
        {
            words = words[..(ScanBlock.Piece * _channels)];
            if (!_block.TryLoadNext(words)) return default;
        }

        return _blanking is null ? words : words[..(KeepUnblanked(resting) * _channels)];
    }

    private int TakeRest(ReadOnlySpan<ushort> words)
    {
        Expect(words, 0, _block!.Loaded);
        int entered = _tracker!.TryRest(_block, ScanBlock.First);
        _rebinner.KeepPast(entered);
        return entered;
    }

    /// <param name="words">The scans' words.</param>
    /// <param name="drifts">Whether it is to be looked for a drift when they are in all histories; then it stops there.</param>
    private int TakeRuns(ReadOnlySpan<ushort> words, out bool drifts)
    {
        int entered = 0;
        drifts = false;
        while (entered < _block!.Loaded && !drifts)
        {
            int place = ScanBlock.First + entered, lines = _tracker!.TryRuns(_block, place, _lines, _confirmed);
            if (lines == 0) break;
            int n = (int)(_lines[lines - 1].End - _lines[0].Start);
            Expect(words, entered, n);
            FileLines(place, lines);
            drifts = _tracker.IsToLookForDrift;
            entered += n;
        }

        _rebinner.FileHeld();
        return entered;
    }

    private void FileLines(int place, int lines)
    {
        int from = 0;
        for (int i = 0; i < lines; i++)
        {
            if (_confirmed[i] < 0 && i + 1 < lines) continue;
            _rebinner.FileRuns(_block!, place + (int)(_lines[from].Start - _lines[0].Start), _lines.AsSpan(from, i + 1 - from));
            if (_confirmed[i] >= 0) _rebinner.Confirm(_confirmed[i]);
            from = i + 1;
        }
    }

    // What will be written when these are taken and read when the next are loaded: asked for while they are worked on, a part with each run.
    private void Expect(ReadOnlySpan<ushort> words, int entered, int scans)
    {
        Lanes.Fetch(ref MemoryMarshal.GetReference(words), words.Length + (entered * _channels), scans * _channels);
        _history.Expect(entered, scans);
    }
}
