using Acquire.Capture;

namespace Acquire.Tests.Models;

/// <summary>The policy Drop as a queue of whole halves that carries every scan's value and every gap in order.</summary>
internal sealed class SlowPingPong(int scansPerHalf)
{
    private readonly Queue<Half> _ready = new();
    private List<ScanGap> _gaps = [];
    private bool _filling;
    private Half? _draining;

    public bool IsFilling => _filling;

    public int HandedOver { get; private set; }

    public long LostScans { get; private set; }

    /// <summary>Null is misuse: the buffer must throw.</summary>
    public bool? TryBeginFill()
    {
        if (_filling) return null;
        _filling = _ready.Count + (_draining is null ? 0 : 1) < 2;
        return _filling;
    }

    public bool? CompleteFill(IReadOnlyList<ushort> scans)
    {
        if (!_filling || scans.Count > scansPerHalf) return null;
        _filling = false;
        if (scans.Count == 0 && _gaps.Count == 0) return true;
        _ready.Enqueue(new Half(_gaps, [.. scans]));
        _gaps = [];
        HandedOver++;
        return true;
    }

    public bool? Skip(ScanGap gap)
    {
        if (_filling || (gap.IsBreak ? gap.LostScans != 0 : gap.LostScans < 1)) return null;
        LostScans += gap.LostScans;
        _gaps.Add(gap);
        return true;
    }

    public bool? TryBeginDrain(out Half? half)
    {
        half = null;
        if (_draining is not null) return null;
        if (_ready.Count > 0) half = _draining = _ready.Dequeue();
        return half is not null;
    }

    public bool? CompleteDrain()
    {
        if (_draining is null) return null;
        _draining = null;
        return true;
    }

    internal sealed record Half(List<ScanGap> Gaps, ushort[] Scans)
    {
        /// <summary>What a gap list must keep: known losses by cause before the first break and after it, and whether there was one.</summary>
        public static string Canonical(IEnumerable<ScanGap> gaps)
        {
            var before = new SortedDictionary<GapCause, long>();
            var after = new SortedDictionary<GapCause, long>();
            GapCause? broken = null;
            foreach (ScanGap gap in gaps)
            {
                if (gap.IsBreak) broken ??= gap.Cause;
                else
                {
                    SortedDictionary<GapCause, long> side = broken is null ? before : after;
                    side[gap.Cause] = side.GetValueOrDefault(gap.Cause) + gap.LostScans;
                }
            }

            return $"{string.Join(' ', before)} | {broken} | {string.Join(' ', after)}";
        }
    }
}
