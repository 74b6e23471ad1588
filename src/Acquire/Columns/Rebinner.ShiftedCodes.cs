using System.Runtime.InteropServices;
using System.Runtime.Intrinsics;
using Acquire.Capture;

namespace Acquire.Columns;

// Scans placed by their codes whose readings belong to the ramp at another time: many at a time where all codes around them are known.
internal sealed partial class Rebinner
{
    // Ramp codes from the scan before the first that readings belong to up to the scan behind the last.
    private readonly ushort[] _around;

    // Where they belong, in 2^-16 codes.
    private readonly long[] _fines;

    // Beyond the difference of any two ways between codes.
    private const int MostJump = 4 * (ushort.MaxValue + 1);

    /// <summary>Files scans, all of them placed by their codes, where the ramp is that their readings belong to.</summary>
    private void FileShiftedCodes(ScanBlock block, int place, long scan, int scans)
    {
        if (Settles(scan) || !TryLookAround(block, place, scan, scans))
        {
            FileShiftedSingly(block, place, scan, scans);
            return;
        }

        Span<int> columns = _columns.AsSpan(0, scans);
        PlaceShifted(columns);
        int filed = ScanColumns.RangeOf(columns, out int first, out int last, out int front);
        _live.CountOverscan(scans - filed);
        if (filed == 0) return;
        _newer.Cover(_live, first, last + 1);
        for (int v = 0; v < _channels.Length; v++) _live.AddSingly(v, columns, block.Vertical(v).AsSpan(place, scans), scan);
        if (_sumsDomains) AddDomains(block, place, columns);
        Entered(first, last, filed, fitted: false, front);
    }

    /// <summary>Gathers the codes around the scans that readings belong to.</summary>
    /// <returns>Whether all of them say where the ramp is: not what lies on a line, is no code, or lies behind a loss.</returns>
    private bool TryLookAround(ScanBlock block, int place, long scan, int scans)
    {
        long first = scan + _whole - 1;
        if (first < _placedFrom || _flags.FollowsLoss(scan + scans)) return false;
        Span<ushort> around = _around.AsSpan(0, scans + 2);
        // Those of the block may not be in the history yet.
        int kept = (int)Math.Clamp(_scans.End - first, 0, around.Length);
        for (int i = 0; i < kept; i++) around[i] = _scans[first + i, _rampChannel];
        if (kept < around.Length) block.Ramp.AsSpan(place + (int)(first + kept - scan), around.Length - kept).CopyTo(around[kept..]);
        return around.IndexOfAnyExceptInRange((ushort)0, (ushort)_full) < 0;
    }

    /// <summary>Places scans as <see cref="FineAhead"/> and <see cref="FineFrom"/> do.</summary>
    private void PlaceShifted(Span<int> columns)
    {
        ref ushort around = ref MemoryMarshal.GetArrayDataReference(_around);
        ref long fines = ref MemoryMarshal.GetArrayDataReference(_fines);
        // No sum of whole codes lies between the limit and the whole number below it. Where the code behind is placed, no way to it is a jump.
        Vector128<int> jump = Vector128.Create(_whole == 0 ? (int)(JumpShare * _full) : MostJump);
        // Products with a power of two are exact, so that all but what is rounded may be in codes. To be rounded to a whole number a
        // double is added to one so large that it has no more bits than that.
        Vector256<double> part = Vector256.Create(_part * ColumnGrid.FinePerCode), whole = Vector256.Create(1.5 * (1L << 52));
        for (int i = 0; i < columns.Length; i += Vector128<int>.Count)
        {
            Vector128<int> before = CodesAt(ref around, i), now = CodesAt(ref around, i + 1), next = CodesAt(ref around, i + 2);
            Vector128<int> step = now - before, way = next - now;
            Vector128<int> goesOn = Vector128.LessThanOrEqual(Vector128.Abs(way - step), jump + Vector128.Abs(step) + Vector128.Abs(step));
            Vector256<double> moved = Lanes.Doubles(Vector128.ConditionalSelect(goesOn, way, step)) * part;
            Vector256<long> places = Vector256.Create(Vector128.WidenLower(now), Vector128.WidenUpper(now)) << FineShift;
            (places + ((moved + whole).AsInt64() - whole.AsInt64())).StoreUnsafe(ref fines, (nuint)i);
        }

        ColumnGrid grid = _fineGrid ?? _grid;
        for (int i = 0; i < columns.Length; i++) columns[i] = grid.ColumnOf(_fines[i]);
    }

    // Eight can be read.
    private static Vector128<int> CodesAt(ref ushort codes, int at) => Vector128.WidenLower(Vector128.LoadUnsafe(ref codes, (nuint)at)).AsInt32();

    private void FileShiftedSingly(ScanBlock block, int place, long scan, int scans)
    {
        ColumnGrid grid = _fineGrid ?? _grid;
        for (int i = 0; i < scans; i++)
        {
            long at = scan + i + _whole, now = FineOf(at), fine = _whole == 0 ? FineAhead(at, now) : _part == 0 ? now : Between(now, FineOf(at + 1));
            int placed = Noted(scan + i, grid.ColumnOf(fine)), column = placed & ColumnBits;
            if (placed < 0)
            {
                _live.CountOverscan(1);
                continue;
            }

            _newer.Cover(_live, column, column + 1);
            for (int v = 0; v < _channels.Length; v++) _live.Add(v, column, block.Vertical(v)[place + i], _tables[v]);
            CloseFiled(scan + i, placed);
            Front = column;
            NoteChange(column, column + 1);
        }

        long FineAhead(long at, long now)
        {
            long before = FineOf(at - 1);
            return _flags.FollowsLoss(at + 1) ? Between(now, (2 * now) - before) : Ahead(before, now, CodeOf(at + 1));
        }

        // Those of the block may not be in the history yet.
        long FineOf(long of) => of < _scans.End ? RampAt(of).Fine : CodeOf(of);
        long CodeOf(long of) => (long)(of < _scans.End ? _scans[of, _rampChannel] : block.Ramp[(int)(place + of - scan)]) * ColumnGrid.FinePerCode;
    }
}
