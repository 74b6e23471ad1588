using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;
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
        (int lowest, int highest) = block.RampRange(place, scans);
        int first = grid.ColumnOfCode[lowest], last = grid.ColumnOfCode[highest];
        if (first < 0 && first == last)
        {
            _live.CountOverscan(scans);
            return;
        }

        ClearDomains(grid, block, place, scans);
        long widthFine = grid.FirstAlong(1) - grid.FirstAlong(0);
        bool few = Math.Abs(line.Step >> FineShift) * FewScans > widthFine;
        if (few || first < 0 || last < 0) FileEach(grid, block, place, scan, scans, first, last);
        else FileColumns(grid, block, place, scan, scans, line, lowest, highest);
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
        if (first > last) (first, last) = (last, first);
        _newer.Cover(_live, first, last + 1);
        for (int v = 0; v < _channels.Length; v++) _live.Verticals[v].AddEach(ramp, columnOfCode, ref block.Vertical(v)[place]);
        _live.CloseEach(ramp, columnOfCode, scan);
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
    private void FileColumns(ColumnGrid grid, ScanBlock block, int place, long scan, int scans, in CourseLine line, int lowest, int highest)
    {
        ReadOnlySpan<int> columnOfCode = grid.ColumnOfCode;
        int first = columnOfCode[lowest], last = columnOfCode[highest];
        if (first > last) (first, last) = (last, first);
        _newer.Cover(_live, first, last + 1);
        Nearness near = new(block.Off, scans, line);
        for (int low = lowest; low <= highest;)
        {
            int column = columnOfCode[low], end = Math.Min(grid.EndOfCodes(column), highest + 1);
            FileChosen(block, place, scan, near.From(low, end - 1), near.To(low, end - 1), (ushort)low, (ushort)(end - 1 - low), column);
            low = end;
        }

        Entered(first, last, scans, fitted: false, columnOfCode[block.Ramp[place + scans - 1]]);
    }

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

    /// <summary>Which scans of a line can have given codes: none is further off it than any.</summary>
    [StructLayout(LayoutKind.Auto)]
    private readonly struct Nearness
    {
        // Nearly flat, the scans near a code are all of them, and places on the line would not fit.
        private const double MostPerCode = 1 << 14;

        private readonly double _perCode;
        private readonly double _from;
        private readonly double _to;
        private readonly int _scans;

        public Nearness(double off, int scans, in CourseLine line)
        {
            double first = line.At(line.Start), perCode = (scans - 1) / (line.At(line.Start + scans - 1) - first);
            _scans = scans;
            if (off >= scans || !(Math.Abs(perCode) <= MostPerCode))
            {
                _to = scans;
                return;
            }

            // One scan more for the rounding.
            double reach = off * Math.Abs(perCode);
            _perCode = perCode;
            _from = (-first * perCode) - reach - 1;
            _to = (-first * perCode) + reach + 2;
        }

        /// <summary>First scan that may have one of the codes, a multiple of 16.</summary>
        public int From(int lowest, int highest) =>
            Math.Max(0, double.ConvertToIntegerNative<int>(((_perCode < 0 ? highest : lowest) * _perCode) + _from)) & -ScanBlock.Piece;

        /// <summary>One past the last, a multiple of 16.</summary>
        public int To(int lowest, int highest) =>
            (Math.Clamp(double.ConvertToIntegerNative<int>(((_perCode < 0 ? lowest : highest) * _perCode) + _to), 0, _scans) + ScanBlock.Piece - 1) & -ScanBlock.Piece;
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
