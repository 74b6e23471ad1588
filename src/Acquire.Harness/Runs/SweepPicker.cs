using Acquire.Harness.Shell;
using Acquire.Sweeps;

namespace Acquire.Harness.Runs;

/// <summary>Keeps the sweeps that a measurement or sheet is made of, in constant memory: one by number, or the last complete ones.</summary>
internal sealed class SweepPicker
{
    // About 90 bytes a column: 400 MB at most.
    private const long MostColumns = 1 << 22;

    private readonly KeptSweep?[] _ring;
    private readonly Setup _setup;
    private readonly long? _number;
    private readonly KeptSweep? _last;
    private int _next;
    private int _kept;
    private bool _lastIsKept;

    /// <summary>Allocates room.</summary>
    /// <param name="setup">Setup of the run.</param>
    /// <param name="number">Number of the one sweep wanted, complete or not; null is the last complete ones.</param>
    /// <param name="most">How many of the last complete ones; 1 or more.</param>
    /// <exception cref="CommandFailure">So many sweeps of so many columns need more memory than is reasonable.</exception>
    public SweepPicker(Setup setup, long? number, int most)
    {
        long columns = (long)setup.Columns.ColumnCount * setup.Scan.VerticalChannels.Count;
        if (most * columns > MostColumns)
        {
            throw CommandFailure.Usage("--average", $"{most} sweeps of {columns} columns are more than can be kept; "
                + $"average {MostColumns / columns} sweeps at most, or choose fewer columns with --columns");
        }

        _setup = setup;
        _number = number;
        _ring = new KeptSweep?[number is null ? most : 1];
        _last = number is null ? new KeptSweep(setup) : null;
    }

    /// <summary>Whether any sweep was seen.</summary>
    public bool SawAny { get; private set; }

    /// <summary>The last sweep, complete or not; null when none was seen or one was asked for by number.</summary>
    public KeptSweep? Last => !SawAny || _last is null ? null : _lastIsKept ? _ring[(_next - 1 + _ring.Length) % _ring.Length] : _last;

    /// <summary>The kept sweeps, oldest first.</summary>
    public IReadOnlyList<KeptSweep> Picked
    {
        get
        {
            KeptSweep[] picked = new KeptSweep[_kept];
            for (int i = 0; i < _kept; i++) picked[i] = _ring[(_next - _kept + i + _ring.Length) % _ring.Length]!;
            return picked;
        }
    }

    /// <summary>Takes a sweep if it is wanted.</summary>
    /// <param name="sweep">The engine's view.</param>
    public void Offer(in SweepView sweep)
    {
        SawAny = true;
        _lastIsKept = _number is null ? sweep.Info.Complete : sweep.Info.Number == _number;
        if (!_lastIsKept)
        {
            _last?.Take(sweep);
            return;
        }

        // Columns of another axis are other places on the ramp, and another section has other settings: one picture holds neither.
        SweepInfo before = _kept > 0 ? _ring[(_next - 1 + _ring.Length) % _ring.Length]!.Info : sweep.Info;
        if (before.AxisNumber != sweep.Info.AxisNumber || before.Section != sweep.Info.Section) _kept = 0;
        (_ring[_next] ??= new KeptSweep(_setup)).Take(sweep);
        _next = (_next + 1) % _ring.Length;
        _kept = Math.Min(_kept + 1, _ring.Length);
    }
}
