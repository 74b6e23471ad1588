using Acquire.Capture;

namespace Acquire.Harness.Inspect.Spectra;

/// <summary>A second walk over some sweeps that the first walk found.</summary>
internal abstract class SweepSection : IScanVisitor
{
    private readonly IReadOnlyList<SweepRow> _sweeps;
    private readonly int _channelCount;
    private long _scan;
    private int _sweep;

    /// <summary>Begins at scan 0.</summary>
    /// <param name="sweeps">Complete sweeps, in order.</param>
    /// <param name="channelCount">Words in a scan.</param>
    protected SweepSection(IReadOnlyList<SweepRow> sweeps, int channelCount)
    {
        _sweeps = sweeps;
        _channelCount = channelCount;
    }

    /// <summary>Index of the sweep that is shown, or that comes next.</summary>
    protected int SweepIndex => _sweep;

    /// <summary>Scans missing so far.</summary>
    protected long LostSoFar { get; private set; }

    /// <inheritdoc/>
    public bool Scans(ReadOnlySpan<ushort> scans)
    {
        while (!scans.IsEmpty)
        {
            if (_sweep == _sweeps.Count) return false;
            SweepRow row = _sweeps[_sweep];
            bool inside = _scan >= row.Info.StartScan;
            long until = inside ? row.Info.EndScan : row.Info.StartScan;
            int take = (int)Math.Min(until - _scan, scans.Length / _channelCount);
            ReadOnlySpan<ushort> part = scans[..(take * _channelCount)];
            if (inside) Inside(row, _scan - row.Info.StartScan, part);
            else if (_sweep > 0 && row.Info.Number == _sweeps[_sweep - 1].Info.Number + 1) Between(_sweeps[_sweep - 1], part);
            _scan += take;
            scans = scans[(take * _channelCount)..];
            if (!inside || _scan < row.Info.EndScan) continue;
            Ended(row);
            _sweep++;
        }

        return true;
    }

    /// <inheritdoc/>
    public bool Lost(long lostScans, GapCause cause)
    {
        LostSoFar += lostScans;
        return _sweep < _sweeps.Count;
    }

    /// <inheritdoc/>
    public bool Broken(GapCause cause) => _sweep < _sweeps.Count;

    /// <summary>Scans of a sweep.</summary>
    /// <param name="sweep">The sweep.</param>
    /// <param name="offset">Scans of this sweep before these.</param>
    /// <param name="scans">Interleaved words.</param>
    protected abstract void Inside(SweepRow sweep, long offset, ReadOnlySpan<ushort> scans);

    /// <summary>Scans between two sweeps that belong to none. Where a sweep between them was not complete, some would be of that one: then there are none.</summary>
    /// <param name="before">The sweep before them.</param>
    /// <param name="scans">Interleaved words.</param>
    protected virtual void Between(SweepRow before, ReadOnlySpan<ushort> scans)
    {
    }

    /// <summary>A sweep has been shown whole.</summary>
    /// <param name="sweep">The sweep.</param>
    protected virtual void Ended(SweepRow sweep)
    {
    }
}
