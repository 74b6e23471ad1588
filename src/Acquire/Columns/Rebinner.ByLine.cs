using System.Runtime.CompilerServices;
using Acquire.Capture;
using Acquire.Sweeps;

namespace Acquire.Columns;

// Scans filed by their line: where it meets the columns' borders is computed, what lies between is side by side.
internal sealed partial class Rebinner
{
    private void FileByLine(ScanBlock block, int place, long scan, int scans, in CourseLine line)
    {
        ColumnGrid grid = _fineGrid ?? _grid;
        bool along = (line.Step > 0) == grid.StartsAtLowCode;
        if (along && grid.BordersFit) FileAlong(grid, block, place, scan, scans, line);
        else FileAcross(grid, block, place, scan, scans, line, along);
    }

    /// <summary>As the beam runs: column after column.</summary>
    [MethodImpl(MethodImplOptions.NoInlining)]
    private void FileAlong(ColumnGrid grid, ScanBlock block, int place, long scan, int scans, in CourseLine line)
    {
        // Along the beam value and step rise, and value >> 16 reaches a border when the value reaches it << 16.
        long value = grid.Along(line.Value), step = Math.Abs(line.Step);
        double perStep = 1.0 / step;
        int from = Reaching(grid.FirstAlong(0) << FineShift, value, step, perStep, 0, scans);
        int to = Reaching(grid.FirstAlong(grid.ColumnCount) << FineShift, value, step, perStep, from, scans);
        _live.CountOverscan(scans - (to - from));
        if (from == to) return;

        int first = grid.ColumnOf((line.Value + (line.Step * from)) >> FineShift), last = grid.ColumnOf((line.Value + (line.Step * (to - 1))) >> FineShift);
        _newer.Cover(_live, first, last + 1);
        for (int v = 0; v < _channels.Length; v++)
        {
            ColumnStatistics columns = _live.Verticals[v];
            ref ushort codes = ref block.Vertical(v)[place];
            for (int column = first, at = from; column <= last; column++)
            {
                int end = column == last ? to : Reaching(grid.FirstAlong(column + 1) << FineShift, value, step, perStep, at, to), n = end - at;
                if (n == 0) continue;
                ref ushort some = ref Unsafe.Add(ref codes, at);
                if (_sumsDomains) Add(_live, v, column, ReadingRun.Of(ref some, n, _full), ref some, n);
                else if (n <= ReadingRun.Few) columns.AddFew(column, ref some, n);
                else columns.Add(column, ReadingRun.Of(ref some, n, _full));
                if (v == 0) _live.CloseRun(column, scan + end - 1);
                at = end;
            }
        }

        Entered(first, last, to - from, fitted: true, front: last);
    }

    /// <summary>The first scan from one on whose value is not below a border.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static int Reaching(long border, long value, long step, double perStep, int from, int scans)
    {
        double left = (border - value) * perStep;
        if (left >= scans) return scans;
        // Below the number of scans it fits; what lies far before the first is none of them.
        int end = Math.Max(from, double.ConvertToIntegerNative<int>(Math.Max(left, -1)) + 1);
        long at = value + (step * end);
        for (; end > from && at - step >= border; at -= step) end--;
        for (; end < scans && at < border; at += step) end++;
        return end;
    }

    /// <summary>Against the beam, or flat, or with edges far away.</summary>
    private void FileAcross(ColumnGrid grid, ScanBlock block, int place, long scan, int scans, in CourseLine line, bool along)
    {
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
        Fill(block, place, scans, column);
        _live.CloseRun(column, scan + scans - 1);
        Entered(column, column, scans, fitted: true, front: column);
    }

    private void Fill(ScanBlock block, int place, int scans, int column)
    {
        for (int v = 0; v < _channels.Length; v++)
        {
            ref ushort codes = ref block.Vertical(v)[place];
            if (scans <= ReadingRun.Few && !_sumsDomains) _live.Verticals[v].AddFew(column, ref codes, scans);
            else Add(_live, v, column, ReadingRun.Of(ref codes, scans, _full), ref codes, scans);
        }
    }
}
