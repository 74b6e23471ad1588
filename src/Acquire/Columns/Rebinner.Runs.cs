using System.Runtime.InteropServices;
using Acquire.Capture;
using Acquire.Scales;
using Acquire.Sweeps;

namespace Acquire.Columns;

// Many scans filed at a time: by line, between computed edges; by code, the few columns that they touch one after the other.
internal sealed partial class Rebinner
{
    private const int FineShift = 16;

    // How each block was placed; a block of single scans has their columns in _placed.
    private readonly PlacedBlock[] _blocks;
    private readonly ScanBlock _anew;

    private enum BlockKind : byte
    {
        Single,
        ByCode,
        ByLine,
    }

    [StructLayout(LayoutKind.Auto)]
    private record struct PlacedBlock(BlockKind Kind, long Start, long Value, long Step);

    /// <summary>Whether runs may be filed from a scan on: its readings belong to its own place and get no marks.</summary>
    public bool TakesRuns(long scan) => _shift == 0 && scan == _last + 1 && !(_settles && scan - _start < _settle) && !_flags.IsSuspect(scan);

    /// <summary>Files scans that lie on one line of the course.</summary>
    /// <param name="block">Their words, all of them codes.</param>
    /// <param name="place">Place of the first in the block's planes.</param>
    /// <param name="scans">16, 32, 48 or 64.</param>
    /// <param name="line">Where they are, from the first on.</param>
    public void FileRun(ScanBlock block, int place, int scans, in CourseLine line)
    {
        long scan = _last + 1;
        _last += scans;
        if (_direct) FileByCode(block, place, scan, scans);
        else FileByLine(block, place, scan, scans, line);

        ref PlacedBlock placed = ref BlockOf(scan);
        if (scans == ScanBlock.Scans)
        {
            placed = new PlacedBlock(_direct ? BlockKind.ByCode : BlockKind.ByLine, scan, line.Value, line.Step);
            return;
        }

        placed.Kind = BlockKind.Single;
        ColumnGrid grid = _fineGrid ?? _grid;
        for (int i = 0; i < scans; i++)
            _placed[(scan + i) & _mask] = _direct ? grid.ColumnOfCode[block.Ramp[place + i]] : OnLine(grid, line.Value + (line.Step * i));
    }

    /// <summary>Files scans [from, end) where they were filed before.</summary>
    private void FileAnew(long from, long end)
    {
        for (long scan = from; scan < end;)
        {
            ref PlacedBlock placed = ref BlockOf(scan);
            int n = (int)Math.Min(ScanBlock.Scans - ((scan + 1) % ScanBlock.Scans), end - scan) & -16;
            if (placed.Kind == BlockKind.Single || n == 0 || !_anew.TryLoad(_scans, scan, n))
            {
                File(scan, PlacedAt(scan));
                scan++;
                continue;
            }

            long value = placed.Value + (placed.Step * (scan - placed.Start));
            if (placed.Kind == BlockKind.ByCode) FileByCode(_anew, ScanBlock.First, scan, n);
            else FileByLine(_anew, ScanBlock.First, scan, n, new CourseLine(scan, scan + n, value, placed.Step, 0, 0));
            scan += n;
        }
    }

    private static int OnLine(ColumnGrid grid, long value)
    {
        int column = grid.ColumnOf(value >> FineShift);
        return column < 0 ? column : column | FittedBit;
    }

    private ref PlacedBlock BlockOf(long scan) => ref _blocks[((scan + 1) / ScanBlock.Scans) & (_blocks.Length - 1)];

    private int PlacedAt(long scan)
    {
        ref PlacedBlock block = ref BlockOf(scan);
        ColumnGrid grid = _fineGrid ?? _grid;
        return block.Kind switch
        {
            BlockKind.ByCode => grid.ColumnOfCode[_scans[scan, _rampChannel]],
            BlockKind.ByLine => OnLine(grid, block.Value + (block.Step * (scan - block.Start))),
            _ => _placed[scan & _mask],
        };
    }

    private void FileByLine(ScanBlock block, int place, long scan, int scans, in CourseLine line)
    {
        ColumnGrid grid = _fineGrid ?? _grid;
        bool along = (line.Step > 0) == grid.StartsAtLowCode;
        for (int from = 0; from < scans;)
        {
            long value = line.Value + (line.Step * from);
            int column = grid.ColumnOf(value >> FineShift);
            int end = EndOfColumn(grid, line, column, along, from, scans);
            if (column < 0) _live.CountOverscan(end - from);
            else FileSideBySide(block, place + from, scan + from, end - from, column);
            from = end;
        }
    }

    /// <summary>The first scan of a line that lies in another column than the one at <paramref name="from"/>.</summary>
    private static int EndOfColumn(ColumnGrid grid, in CourseLine line, int column, bool along, int from, int scans)
    {
        // The border that the beam meets next; beyond the last there is none.
        int border = column >= 0 ? (along ? column + 1 : column) : grid.IsBefore(column) == along ? (along ? 0 : grid.ColumnCount) : -1;
        if (border < 0 || line.Step == 0) return scans;
        long first = grid.FirstAlong(border), value = line.Value + (line.Step * from);
        double left = (double)(grid.FirstFineOf(border) - (value >> FineShift)) * (1 << FineShift) / line.Step;
        int end = from + (int)Math.Clamp(left, 1, scans - from);
        while (end > from + 1 && IsBeyond(grid, line, first, along, end - 1)) end--;
        while (end < scans && !IsBeyond(grid, line, first, along, end)) end++;
        return end;
    }

    private static bool IsBeyond(ColumnGrid grid, in CourseLine line, long first, bool along, int scan) =>
        (grid.Along((line.Value + (line.Step * scan)) >> FineShift) >= first) == along;

    private void FileSideBySide(ScanBlock block, int place, long scan, int scans, int column)
    {
        _newer.Cover(_live, column, column + 1);
        for (int v = 0; v < _channels.Length; v++)
        {
            ref ushort codes = ref block.Vertical(v)[place];
            ColumnStatistics into = _live.Verticals[v];
            bool first = into.Counts[column] == 0;
            into.Add(column, ReadingRun.Of(ref codes, scans, _full));
            DomainTable?[] tables = _tables[v];
            for (int d = 0; d < tables.Length; d++)
                if (tables[d] is { } table) into.AddDomain(d, column, ReadingRun.SumOf(table, ref codes, scans), first);
        }

        Entered(column, scan + scans - 1, scans, fitted: true);
    }

    private void FileByCode(ScanBlock block, int place, long scan, int scans)
    {
        ColumnGrid grid = _fineGrid ?? _grid;
        (int code, int highest) = block.RampRange(place, scans);
        int filed = 0;
        while (code <= highest)
        {
            int column = grid.ColumnOfCode[code];
            if (column < 0)
            {
                if (column == ColumnGrid.OverscanHigh) break;
                code = Math.Max(code + 1, grid.CodesOf(grid.StartsAtLowCode ? 0 : grid.ColumnCount - 1).Low);
                continue;
            }

            int end = grid.CodesOf(column).End;
            ChosenScans chosen = ChosenScans.Of(ref block.Ramp[place], (ushort)code, (ushort)(end - 1 - code), scans);
            code = end;
            if (chosen.Bits != 0) filed += FileChosen(block, place, scan, chosen, column);
        }

        _live.CountOverscan(scans - filed);
        int front = grid.ColumnOfCode[block.Ramp[place + scans - 1]];
        for (int i = scans - 2; front < 0 && i >= 0; i--) front = grid.ColumnOfCode[block.Ramp[place + i]];
        if (front >= 0) Front = front;
    }

    private int FileChosen(ScanBlock block, int place, long scan, in ChosenScans chosen, int column)
    {
        _newer.Cover(_live, column, column + 1);
        for (int v = 0; v < _channels.Length; v++)
        {
            ref ushort codes = ref block.Vertical(v)[place];
            ColumnStatistics into = _live.Verticals[v];
            bool first = into.Counts[column] == 0;
            into.Add(column, ReadingRun.Of(ref codes, chosen, _full));
            DomainTable?[] tables = _tables[v];
            for (int d = 0; d < tables.Length; d++)
                if (tables[d] is { } table) into.AddDomain(d, column, ReadingRun.SumOf(table, ref codes, chosen.Bits), first);
        }

        int count = System.Numerics.BitOperations.PopCount(chosen.Bits);
        Entered(column, scan + System.Numerics.BitOperations.Log2(chosen.Bits), count, fitted: false);
        return count;
    }

    private void Entered(int column, long lastScan, int scans, bool fitted)
    {
        _live.CloseRun(column, lastScan, scans, fitted);
        Front = column;
        NoteChange(column, column + 1);
    }
}
