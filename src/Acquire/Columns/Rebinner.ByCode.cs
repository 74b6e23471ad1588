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
            FileColumns(grid, block, place, scan, scans, grain, mirror, least, most);
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
        if (first < 0 || last < 0) filed = RangeOf(columnOfCode, ramp, out first, out last, out front);
        _live.CountOverscan(scans - filed);
        if (filed == 0) return;
        _newer.Cover(_live, first, last + 1);
        for (int v = 0; v < _channels.Length; v++) _live.AddEach(v, ramp, columnOfCode, ref block.Vertical(v)[place], scan);
        Entered(first, last, filed, fitted: false, front);
    }

    /// <summary>Of scans some of which are overscan: how many are in columns, in which, and in which is the last.</summary>
    internal static int RangeOf(ReadOnlySpan<int> columnOfCode, ReadOnlySpan<ushort> ramp, out int first, out int last, out int front)
    {
        int filed = 0;
        (first, last, front) = (int.MaxValue, -1, -1);
        foreach (ushort code in ramp)
        {
            int column = columnOfCode[code];
            if (column < 0) continue;
            first = Math.Min(first, column);
            last = Math.Max(last, column);
            front = column;
            filed++;
        }

        return filed;
    }

    /// <summary>Files scans all of which are in columns: of each column those that are near enough to it are looked at together.</summary>
    [MethodImpl(MethodImplOptions.NoInlining)]
    private void FileColumns(ColumnGrid grid, ScanBlock block, int place, long scan, int scans, int grain, ushort mirror, ReadOnlySpan<ushort> least, ReadOnlySpan<ushort> most)
    {
        ReadOnlySpan<int> columnOfCode = grid.ColumnOfCode;
        // Where one block after another is near enough, nothing depends on how many of its pieces are.
        bool blocks = grain == ScanBlock.Piece && scans >= ScanBlock.Scans && _full <= ReadingRun.NarrowCode;
        ReadOnlySpan<ushort> leastBehind = _least;
        int highest = most[^1];
        for (int low = least[0], from = 0, to = 0; low <= highest;)
        {
            int column = columnOfCode[low ^ mirror];
            int high = Math.Min(mirror == 0 ? grid.EndOfCodes(column) - 1 : grid.FirstOfCodes(column) ^ mirror, highest);
            ushort lowest = (ushort)((mirror == 0 ? low : high) ^ mirror), more = (ushort)(high - low);
            // Seldom more than two pieces further: up to there without a branch that would be guessed wrong.
            from += most[from] < low ? 1 : 0;
            from += most[from] < low ? 1 : 0;
            while (most[from] < low) from++;
            int start = Lanes.Less(from, least.Length - PiecesInBlock);
            if (blocks && leastBehind[start + PiecesInBlock] > high)
            {
                FileChosen(block, place + (start * ScanBlock.Piece), scan + (start * ScanBlock.Piece), lowest, more, column);
            }
            else
            {
                while (to < least.Length && least[to] <= high) to++;
                FileChosen(block, place, scan, from * grain, Math.Min(to * grain, scans), lowest, more, column);
            }

            low = high + 1;
        }
    }

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private void FileChosen(ScanBlock block, int place, long scan, ushort low, ushort more, int column)
    {
        ref ushort ramp = ref block.Ramp[place];
        for (int v = 0; v < _channels.Length; v++)
        {
            ReadingRun run = ReadingRun.OfChosenInBlock(ref ramp, ref block.Vertical(v)[place], low, more, out int last);
            if (run.Count == 0) return;
            _live.Verticals[v].Add(column, run);
            if (v == 0) _live.CloseRun(column, scan + last);
        }
    }

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private void FileChosen(ScanBlock block, int place, long scan, int from, int to, ushort low, ushort more, int column)
    {
        ref ushort ramp = ref block.Ramp[place];
        for (int v = 0; v < _channels.Length; v++)
        {
            ReadingRun run = ReadingRun.OfChosen(ref ramp, ref block.Vertical(v)[place], from, to, low, more, _full, out int last);
            if (run.Count == 0) return;
            _live.Verticals[v].Add(column, run);
            if (v == 0) _live.CloseRun(column, scan + last);
        }
    }

    private void AddDomains(ColumnGrid grid, ScanBlock block, int place, int scans)
    {
        if (!_sumsDomains) return;
        for (int v = 0; v < _channels.Length; v++)
        {
            DomainTable?[] tables = _tables[v];
            ReadOnlySpan<ushort> ramp = block.Ramp.AsSpan(place, scans), codes = block.Vertical(v).AsSpan(place, scans);
            for (int d = 0; d < tables.Length; d++)
                if (tables[d] is { } table) _live.Verticals[v].AddDomainByCode(d, ramp, codes, grid.ColumnOfCode, table);
        }
    }
}
