using System.Runtime.CompilerServices;
using Acquire.Capture;
using Acquire.Scales;
using Acquire.Sweeps;

namespace Acquire.Columns;

// Scans filed by their own codes: for each column that they may reach, those of its codes among the scans that can be so near to it.
internal sealed partial class Rebinner
{
    // So few scans to a column are filed faster one by one.
    private const int FewScans = 8;

    private const int PiecesInBlock = ScanBlock.Scans / ScanBlock.Piece;

    // Of some scans and those after them the lowest code, of them and those before the highest.
    private readonly ushort[] _least = new ushort[(ScanBlock.Most / ScanBlock.Piece) + PiecesInBlock];
    private readonly ushort[] _most = new ushort[ScanBlock.Most / ScanBlock.Piece];

    // The column of each scan, where each is looked at.
    private readonly int[] _columns = new int[ScanBlock.Most];

    // Scans of one block that follow one another are held back and filed together: until what is filed is asked for.
    private ScanBlock? _heldBlock;
    private int _heldPlace;
    private int _held;
    private long _heldStep;

    private void Hold(ScanBlock block, int place, int scans, long step)
    {
        if (_held == 0) (_heldBlock, _heldPlace) = (block, place);
        _held += scans;
        _heldStep = step;
    }

    /// <summary>Files what was held back; call before what is filed is looked at, and before the block is loaded anew.</summary>
    public void FileHeld()
    {
        FileLines();
        if (_held == 0) return;
        int scans = _held;
        _held = 0;
        FileByCode(_heldBlock!, _heldPlace, _last + 1 - scans, scans, _heldStep);
    }

    private void FileByCode(ScanBlock block, int place, long scan, int scans, long step)
    {
        ColumnGrid grid = _fineGrid ?? _grid;
        long widthFine = grid.FirstAlong(1) - grid.FirstAlong(0), stepFine = Math.Abs(step >> FineShift);
        int grain = stepFine * ScanBlock.Scans > widthFine ? ScanBlock.Piece : ScanBlock.Scans, entries = (scans + grain - 1) / grain;
        // Of a ramp that falls the complements of its codes, which rise.
        ushort mirror = step >= 0 ? (ushort)0 : ushort.MaxValue;
        Span<ushort> least = _least.AsSpan(0, entries), most = _most.AsSpan(0, entries);
        block.RampRanges(place, scans, grain, mirror, least, most);
        _least.AsSpan(entries, PiecesInBlock).Fill(ushort.MaxValue);
        int first = grid.ColumnOfCode[least[0] ^ mirror], last = grid.ColumnOfCode[most[^1] ^ mirror];
        if (first < 0 && first == last)
        {
            _live.CountOverscan(scans);
            return;
        }

        if (first > last) (first, last) = (last, first);
        if (stepFine * FewScans > widthFine || first < 0 || last < 0)
        {
            FileEach(grid, block, place, scan, scans, first, last);
        }
        else
        {
            _newer.Cover(_live, first, last + 1);
            FileColumns(grid, block, place, scan, scans, grain, mirror, most);
            Entered(first, last, scans, fitted: false, grid.ColumnOfCode[block.Ramp[place + scans - 1]]);
        }

        AddDomains(grid, block, place, scans);
    }

    [MethodImpl(MethodImplOptions.NoInlining)]
    private void FileEach(ColumnGrid grid, ScanBlock block, int place, long scan, int scans, int first, int last)
    {
        ReadOnlySpan<int> columnOfCode = grid.ColumnOfCode;
        ReadOnlySpan<ushort> ramp = block.Ramp.AsSpan(place, scans);
        int filed = scans, front = columnOfCode[ramp[^1]];
        if (first < 0 || last < 0)
        {
            Span<int> columns = _columns.AsSpan(0, scans);
            ScanColumns.OfCodes(columnOfCode, ramp, columns);
            filed = ScanColumns.RangeOf(columns, out first, out last, out front);
        }

        _live.CountOverscan(scans - filed);
        if (filed == 0) return;
        _newer.Cover(_live, first, last + 1);
        for (int v = 0; v < _channels.Length; v++) _live.AddEach(v, ramp, columnOfCode, ref block.Vertical(v)[place], scan);
        Entered(first, last, filed, fitted: false, front);
    }

    /// <summary>Files scans all of which are in columns: of each column those that are near enough to it are looked at together.</summary>
    [MethodImpl(MethodImplOptions.NoInlining)]
    private void FileColumns(ColumnGrid grid, ScanBlock block, int place, long scan, int scans, int grain, ushort mirror, ReadOnlySpan<ushort> most)
    {
        ColumnWalk walk = new(grid, ref _least[0], most, scans, grain, mirror);
        for (int v = 0; v < _channels.Length; v++) _live.Verticals[v].AddChosen(walk, ref block.Ramp[place], ref block.Vertical(v)[place], _full, _live, scan);
    }

    private void AddDomains(ColumnGrid grid, ScanBlock block, int place, int scans)
    {
        if (!_sumsDomains) return;
        Span<int> columns = _columns.AsSpan(0, scans);
        ScanColumns.OfCodes(grid.ColumnOfCode, block.Ramp.AsSpan(place, scans), columns);
        AddDomains(block, place, columns);
    }

    private void AddDomains(ScanBlock block, int place, ReadOnlySpan<int> columns)
    {
        for (int v = 0; v < _channels.Length; v++)
            for (int d = 0; d < _tables[v].Length; d++)
                if (_tables[v][d] is { } table) _live.Verticals[v].AddDomainEach(d, columns, block.Vertical(v).AsSpan(place, columns.Length), table);
    }
}
