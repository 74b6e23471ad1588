using System.Runtime.CompilerServices;
using Acquire.Capture;
using Acquire.Sweeps;

namespace Acquire.Columns;

// Scans filed by their line: where it meets the columns' borders is computed, what lies between is side by side.
internal sealed partial class Rebinner
{
    // Ends of so many columns are worked out before these are filed.
    private readonly int[] _ends = new int[64];

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
        long value = grid.Along(line.Value), step = Math.Abs(line.Step), lastValue = value + (step * (scans - 1));
        long start = grid.FirstAlong(0) << FineShift, end = grid.FirstAlong(grid.ColumnCount) << FineShift;
        double perStep = 1.0 / step;
        int from = value >= start ? 0 : lastValue < start ? scans : Reaching(start, value, step, perStep);
        int to = lastValue < end ? scans : value >= end ? 0 : Reaching(end, value, step, perStep);
        _live.CountOverscan(scans - (to - from));
        if (from == to) return;

        int first = grid.ColumnOf((line.Value + (line.Step * from)) >> FineShift), last = grid.ColumnOf((line.Value + (line.Step * (to - 1))) >> FineShift);
        _newer.Cover(_live, first, last + 1);
        Span<int> ends = _ends;
        for (int column = first, at = from; column <= last; column += ends.Length)
        {
            if (ends.Length > last + 1 - column) ends = ends[..(last + 1 - column)];
            for (int i = 0; i < ends.Length; i++)
                ends[i] = column + i == last ? to : Reaching(grid.FirstAlong(column + i + 1) << FineShift, value, step, perStep);
            FileSideBySide(block, place, scan, column, ends, at);
            at = ends[^1];
        }

        Entered(first, last, to - from, fitted: true, front: last);
    }

    /// <summary>The first scan whose value is not below a border.</summary>
    /// <param name="border">Above the first scan's value, not above the last's.</param>
    /// <param name="value">Of the first scan.</param>
    /// <param name="step">From scan to scan.</param>
    /// <param name="perStep">One by the step.</param>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static int Reaching(long border, long value, long step, double perStep)
    {
        // The scan before it or the one before that: what rounding may add to 512 scans is far less than what is taken off.
        int before = double.ConvertToIntegerNative<int>(((border - value) * perStep) - (1.0 / (1 << 20)));
        long next = value + (step * (before + 1));
        return before + 1 + (next < border ? 1 : 0);
    }

    /// <summary>Files scans in columns one after another.</summary>
    /// <param name="block">Their words.</param>
    /// <param name="place">Place of the line's first scan.</param>
    /// <param name="scan">The line's first scan.</param>
    /// <param name="column">First column.</param>
    /// <param name="ends">For each column one past its last scan, counted from the line's first.</param>
    /// <param name="from">First scan in them, counted from the line's first.</param>
    private void FileSideBySide(ScanBlock block, int place, long scan, int column, ReadOnlySpan<int> ends, int from)
    {
        for (int v = 0; v < _channels.Length; v++)
        {
            ref ushort codes = ref block.Vertical(v)[place];
            if (_sumsDomains) AddSideBySide(v, column, ends, from, ref codes);
            else _live.Verticals[v].AddSideBySide(column, ends, from, ref codes, _full);
        }

        _live.CloseSideBySide(column, ends, from, scan);
    }

    private void AddSideBySide(int vertical, int column, ReadOnlySpan<int> ends, int from, ref ushort codes)
    {
        foreach (int end in ends)
        {
            ref ushort some = ref Unsafe.Add(ref codes, from);
            if (end > from) Add(_live, vertical, column, ReadingRun.Of(ref some, end - from, _full), ref some, end - from);
            from = end;
            column++;
        }
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
            Add(_live, v, column, ReadingRun.Of(ref codes, scans, _full), ref codes, scans);
        }
    }
}
