using System.Runtime.CompilerServices;
using Acquire.Capture;

namespace Acquire;

// Scans with a blanking line taken many at a time: as many as say by themselves that the beam is on, and nothing new of the line's levels.
public sealed partial class SweepEngine
{
    // Where a scan does not say so, neither do most of those after it.
    private const int BlankedAtOnce = 4 * ScanBlock.Piece;

    private long _singlyUntil;

    /// <summary>Keeps of the scans loaded those up to the first that may be blanked or teach something.</summary>
    /// <param name="resting">Retrace or rest, in which nothing is asked of the beam.</param>
    /// <returns>How many are left.</returns>
    [MethodImpl(MethodImplOptions.NoInlining)]
    private int KeepUnblanked(bool resting)
    {
        (int First, int Last) known = _blanking!.CodesKnown, on = resting ? (0, ushort.MaxValue) : _blanking.CodesOfBeamOn;
        int kept = 0;
        while (kept < _block!.Loaded && _block.IsBlankingWithin(ScanBlock.First + 1 + kept, known) && IsBeamOn(kept, on)) kept += ScanBlock.Piece;
        _block.Keep(kept);
        if (kept == 0) _singlyUntil = _history.End + BlankedAtOnce;
        return kept;
    }

    /// <summary>Whether 16 scans say by themselves that the beam is on.</summary>
    /// <param name="from">The first of them; 0 is the one that waits.</param>
    /// <param name="on">Codes that say so.</param>
    private bool IsBeamOn(int from, (int First, int Last) on)
    {
        if (on is (0, ushort.MaxValue)) return true;
        long lead = _blanking!.Lead, scan = _history.End - 1 + from - lead;
        if (scan >= _history.End - 1) return _block!.IsBlankingWithin((int)(ScanBlock.First + from - lead), on);
        if (lead > _history.Capacity / 4) return false;
        for (int i = 0; i < ScanBlock.Piece; i++, scan++)
        {
            int code = scan < _history.End ? _history[Math.Max(scan, _history.Oldest), _blankingChannel] : _block!.Blanking[(int)(ScanBlock.First + from + i - lead)];
            if (code < on.First || code > on.Last) return false;
        }

        return true;
    }

    /// <summary>Whether any of the scans [first, end), which are in the history, may be blanked.</summary>
    private bool MayBlankAnyOf(long first, long end)
    {
        if (_blanking is null) return false;
        (int First, int Last) on = _blanking.CodesOfBeamOn;
        (long from, long to) = _blanking.Deciding(_history, first, end);
        for (long scan = from; scan < to; scan++)
            if (_history[scan, _blankingChannel] is var code && (code < on.First || code > on.Last)) return true;
        return false;
    }
}
