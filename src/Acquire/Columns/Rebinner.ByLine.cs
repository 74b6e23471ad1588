using System.Numerics;
using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;
using System.Runtime.Intrinsics;
using Acquire.Capture;
using Acquire.Sweeps;

namespace Acquire.Columns;

// Scans filed by their line: where it meets the columns' borders is computed, what lies between is side by side.
internal sealed partial class Rebinner
{
    // Steps are whole numbers in a double, and what a line of them adds up to.
    private const long FastestStep = 1L << 43;

    // A line of many columns, side by side with what is held already, and what vectors write behind it.
    private readonly int[] _ends = new int[2 * ScanBlock.Most];
    private const int MostHeld = (2 * ScanBlock.Most) - 16;

    // Scans of one block that follow one another, held back and filed together: for each column one past the place of its last scan.
    private int _heldFirst;
    private int _heldColumns;
    private int _heldFrom;
    private long _heldScan;

    // What is filed now is read while readings settle.
    private bool _settling;

    /// <summary>Files lines; what is read while a sweep's first readings settle is marked.</summary>
    private void FileOnLines(ScanBlock block, int place, ReadOnlySpan<CourseLine> lines)
    {
        if (Settles(lines[0].Start)) FileSettling(block, place, lines);
        else FileByLines(block, place, lines);
    }

    private void FileSettling(ScanBlock block, int place, ReadOnlySpan<CourseLine> lines)
    {
        long first = lines[0].Start, settled = _start + _settle;
        int whole = 0;
        while (whole < lines.Length && lines[whole].End <= settled) whole++;
        FileLines();
        _settling = true;
        FileByLines(block, place, lines[..whole]);
        bool cuts = whole < lines.Length && lines[whole].Start < settled;
        if (cuts) FileByLines(block, PlaceOf(lines[whole].Start), [lines[whole].UpTo(settled)]);
        FileLines();
        _settling = false;
        if (cuts) FileByLines(block, PlaceOf(settled), [lines[whole++].From(settled)]);
        if (whole < lines.Length) FileByLines(block, PlaceOf(lines[whole].Start), lines[whole..]);

        int PlaceOf(long scan) => place + (int)(scan - first);
    }

    /// <summary>Files lines: those that run with the beam go on with what is held or begin anew, the others one by one.</summary>
    [MethodImpl(MethodImplOptions.NoInlining)]
    private void FileByLines(ScanBlock block, int place, ReadOnlySpan<CourseLine> lines)
    {
        ColumnGrid grid = _fineGrid ?? _grid;
        ReadOnlySpan<long> borders = grid.FirstsAlong();
        ref long firsts = ref MemoryMarshal.GetReference(borders);
        ref int ends = ref MemoryMarshal.GetArrayDataReference(_ends);
        long mirror = grid.Along(0), fastest = grid.BordersFit ? FastestStep : 0;
        // None of the columns is narrower than one fine code less than the first.
        long start = borders[0] << FineShift, end = borders[^1] << FineShift, width = (borders[1] - borders[0] - 1) << FineShift;
        foreach (ref readonly CourseLine line in lines)
        {
            // Along the beam value and step rise, and value >> 16 reaches a border when the value reaches it << 16.
            int scans = (int)(line.End - line.Start), from = 0, to = scans;
            long value = line.Value ^ mirror, step = (line.Step ^ mirror) - mirror, way = step * (scans - 1);
            if (step <= 0 || step >= fastest || way >= width * (MostHeld - 1))
            {
                FileLines();
                FileAcross(grid, block, place, line.Start, scans, line, along: step > 0);
                place += scans;
                continue;
            }

            if (value < start || value + way >= end)
            {
                (from, to) = Inside(start, end, value, step, scans);
                _live.CountOverscan(scans - (to - from));
                value += step * from;
                way = step * (to - from - 1);
            }

            if (from < to)
            {
                // How far it lies above the column in which what is held ends: it may pass over many.
                int at = _heldColumns - 1;
                long above = at < 0 ? -1 : value - (Unsafe.Add(ref firsts, _heldFirst + at) << FineShift);
                if (above < 0 || Unsafe.Add(ref ends, at) != place + from || above + way >= width * (MostHeld - 1 - at))
                {
                    FileLines();
                    (_heldBlock, _heldScan, _heldFirst, _heldFrom) = (block, line.Start - place, grid.ColumnAlong(value >> FineShift), place + from);
                    at = 0;
                }

                at = Reach(ref Unsafe.Add(ref firsts, _heldFirst + 1), at, value, way, step, place + from, many: way >= Vector256<long>.Count * width, ref ends);
                Unsafe.Add(ref ends, at) = place + to;
                _heldColumns = at + 1;
            }

            place += scans;
        }
    }

    /// <summary>Which scans of a line lie between the edges.</summary>
    [MethodImpl(MethodImplOptions.NoInlining)]
    private static (int From, int To) Inside(long start, long end, long value, long step, int scans)
    {
        long last = value + (step * (scans - 1));
        double perStep = 1.0 / step;
        int from = value >= start ? 0 : last < start ? scans : Reaching(start, value, step, perStep);
        return (from, last < end ? scans : value >= end ? from : Reaching(end, value, step, perStep));
    }

    /// <summary>Where a line reaches the ends of columns, as <see cref="Reaching"/> has it; those that it passes over get none.</summary>
    /// <param name="borders">Ends of columns, of the first that is held on; eight more can be read.</param>
    /// <param name="at">The column in which the line begins.</param>
    /// <param name="value">Its value at the first scan.</param>
    /// <param name="way">What is added to it up to the last.</param>
    /// <param name="step">From scan to scan.</param>
    /// <param name="place">Place of the first scan.</param>
    /// <param name="many">Whether it leaves more columns than a vector has lanes: then two vectors at a time, for each waits for the one before.</param>
    /// <param name="ends">Gets one past the place of the last scan of each column that it leaves, and what means nothing for up to eight more.</param>
    /// <returns>The column in which it ends.</returns>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static int Reach(ref long borders, int at, long value, long way, long step, int place, bool many, ref int ends)
    {
        Vector256<double> steps = Vector256.Create((double)step), perSteps = Vector256.Create(1.0 / step);
        Vector256<long> values = Vector256.Create(value), ways = Vector256.Create(way);
        int atOnce = many ? 2 * Vector256<long>.Count : Vector256<long>.Count, within;
        do
        {
            uint beyond = ReachSome(ref borders, at, values, ways, steps, perSteps, place, ref ends);
            if (many) beyond |= ReachSome(ref borders, at + Vector256<long>.Count, values, ways, steps, perSteps, place, ref ends) << Vector256<long>.Count;
            within = BitOperations.TrailingZeroCount(beyond | (1u << atOnce));
            at += within;
        }
        while (within == atOnce);
        return at;
    }

    /// <returns>A bit for each border that lies beyond the line's end.</returns>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static uint ReachSome(
        ref long borders, int at, Vector256<long> values, Vector256<long> ways, Vector256<double> steps, Vector256<double> perSteps, int place, ref int ends)
    {
        // Whole numbers below 2^52 are exact, and the last bits of such a number plus this one.
        Vector256<double> whole = Vector256.Create((double)(1L << 52));
        Vector256<long> ahead = (Vector256.LoadUnsafe(ref borders, (nuint)at) << FineShift) - values;
        Vector256<long> beyond = Vector256.GreaterThan(ahead, ways);
        ahead &= Vector256.GreaterThan(ahead, default);
        Vector256<double> border = (ahead | whole.AsInt64()).AsDouble() - whole;
        Vector256<double> scans = Vector256.Floor((border * perSteps) - Vector256.Create(1.0 / (1 << 20))) + Vector256<double>.One;
        Vector256<long> reached = (scans + whole).AsInt64() - Vector256.LessThan(scans * steps, border).AsInt64();
        (Vector128.Narrow(reached.GetLower(), reached.GetUpper()) + Vector128.Create(place)).StoreUnsafe(ref ends, (nuint)at);
        return beyond.ExtractMostSignificantBits();
    }

    /// <summary>Files the lines that are held.</summary>
    private void FileLines()
    {
        if (_heldColumns == 0) return;
        ReadOnlySpan<int> ends = _ends.AsSpan(0, _heldColumns);
        _heldColumns = 0;
        int last = _heldFirst + ends.Length - 1;
        _newer.Cover(_live, _heldFirst, last + 1);
        FileSideBySide(_heldBlock!, _heldScan, _heldFirst, ends, _heldFrom);
        Entered(_heldFirst, last, ends[^1] - _heldFrom, fitted: true, front: last);
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
    /// <param name="scan">Scan of place 0 in its planes.</param>
    /// <param name="column">First column.</param>
    /// <param name="ends">For each column one past the place of its last scan.</param>
    /// <param name="from">Place of the first scan in them.</param>
    private void FileSideBySide(ScanBlock block, long scan, int column, ReadOnlySpan<int> ends, int from)
    {
        for (int v = 0; v < _channels.Length; v++)
        {
            ref ushort codes = ref block.Vertical(v)[0];
            _live.Verticals[v].AddSideBySide(column, ends, from, ref codes, _full);
            for (int d = 0; d < _tables[v].Length; d++)
                if (_tables[v][d] is { } table) _live.Verticals[v].AddDomainSideBySide(d, column, ends, from, ref codes, table);
        }

        _live.CloseSideBySide(column, ends, from, scan);
        if (_settling) _live.MarkSideBySide(column, ends, from, ColumnMarks.Settling);
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
        if (_settling) _live.Mark(column, ColumnMarks.Settling);
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
