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

    private void FileByCode(ScanBlock block, int place, long scan, int scans, in CourseLine line)
    {
        ColumnGrid grid = _fineGrid ?? _grid;
        ClearDomains(grid, block, place, scans);
        long widthFine = grid.FirstAlong(1) - grid.FirstAlong(0);
        if (Math.Abs(line.Step >> FineShift) * FewScans > widthFine) FileEach(grid, block, place, scan, scans);
        else FileColumns(grid, block, place, scan, scans, line);
        AddDomains(grid, block, place, scans);
    }

    [MethodImpl(MethodImplOptions.NoInlining)]
    private void FileEach(ColumnGrid grid, ScanBlock block, int place, long scan, int scans)
    {
        ReadOnlySpan<int> columnOfCode = grid.ColumnOfCode;
        ReadOnlySpan<ushort> ramp = block.Ramp.AsSpan(place, scans);
        (int lowest, int highest) = block.RampRange(place, scans);
        int first = columnOfCode[lowest], last = columnOfCode[highest], filed = scans, front = columnOfCode[ramp[^1]];
        if (first < 0 || last < 0) filed = RangeOf(columnOfCode, ramp, out first, out last, out front);
        _live.CountOverscan(scans - filed);
        if (filed == 0) return;
        if (first > last) (first, last) = (last, first);
        _newer.Cover(_live, first, last + 1);
        for (int v = 0; v < _channels.Length; v++) _live.Verticals[v].AddEach(ramp, columnOfCode, ref block.Vertical(v)[place]);
        _live.CloseEach(ramp, columnOfCode, scan);
        Entered(first, last, filed, fitted: false, front);
    }

    /// <summary>Of scans some of which are overscan: how many are in columns, in which, and in which is the last.</summary>
    private static int RangeOf(ReadOnlySpan<int> columnOfCode, ReadOnlySpan<ushort> ramp, out int first, out int last, out int front)
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

    [MethodImpl(MethodImplOptions.NoInlining)]
    private void FileColumns(ColumnGrid grid, ScanBlock block, int place, long scan, int scans, in CourseLine line)
    {
        double off = block.Off, first = line.At(line.Start), last = line.At(line.Start + scans - 1), perCode = (scans - 1) / (last - first);
        bool near = off < scans && double.IsFinite(perCode);
        (int code, int highest) = near
            ? (Math.Max(0, (int)(Math.Min(first, last) - off)), Math.Min(_full, (int)(Math.Max(first, last) + off) + 1))
            : block.RampRange(place, scans);
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

            int end = grid.CodesOf(column).End, from = 0, to = scans;
            if (near)
            {
                // A scan of these codes is no further off the line than any; one scan more for the rounding.
                double a = (code - off - first) * perCode, b = (end - 1 + off - first) * perCode;
                from = (int)Math.Clamp(Math.Min(a, b) - 1, 0, scans) & -ScanBlock.Piece;
                to = ((int)Math.Clamp(Math.Max(a, b) + 2, 0, scans) + ScanBlock.Piece - 1) & -ScanBlock.Piece;
            }

            filed += FileChosen(block, place, scan, from, to, (ushort)code, (ushort)(end - 1 - code), column);
            code = end;
        }

        _live.CountOverscan(scans - filed);
        int front = grid.ColumnOfCode[block.Ramp[place + scans - 1]];
        for (int i = scans - 2; front < 0 && i >= 0; i--) front = grid.ColumnOfCode[block.Ramp[place + i]];
        if (front >= 0) Front = front;
    }

    private int FileChosen(ScanBlock block, int place, long scan, int from, int to, ushort low, ushort more, int column)
    {
        ref ushort ramp = ref block.Ramp[place];
        int count = 0, last = 0;
        for (int v = 0; v < _channels.Length; v++)
        {
            ReadingRun run = ReadingRun.OfChosen(ref ramp, ref block.Vertical(v)[place], from, to, low, more, _full, out last);
            count = run.Count;
            if (count == 0) return 0;
            if (v == 0) _newer.Cover(_live, column, column + 1);
            _live.Verticals[v].Add(column, run);
        }

        _live.CloseRun(column, scan + last);
        Entered(column, column, count, fitted: false, column);
        return count;
    }

    // The sums of an unfilled column have no meaning: they start before the first scan is added.
    private void ClearDomains(ColumnGrid grid, ScanBlock block, int place, int scans)
    {
        if (!_sumsDomains) return;
        foreach (ushort code in block.Ramp.AsSpan(place, scans))
        {
            int column = grid.ColumnOfCode[code];
            if (column < 0 || _live.IsFilled(column)) continue;
            foreach (ColumnStatistics vertical in _live.Verticals) vertical.ClearDomains(column);
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
