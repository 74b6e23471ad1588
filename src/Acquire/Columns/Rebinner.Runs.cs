using Acquire.Capture;
using Acquire.Scales;
using Acquire.Sweeps;

namespace Acquire.Columns;

// Many scans filed at a time, and filed anew as they were.
internal sealed partial class Rebinner
{
    private const int FineShift = 16;

    // How each block was placed, or, where it was not as a whole, each piece of it; a piece of single scans has their columns in _placed.
    private readonly PlacedRuns _blocks;
    private readonly PlacedRuns _pieces;
    private readonly ScanBlock _anew;

    /// <summary>Whether runs may be filed from a scan on: its readings belong to its own place and get no marks.</summary>
    public bool TakesRuns(long scan) => _shift == 0 && scan == _last + 1 && !(_settles && scan - _start < _settle) && !_flags.IsSuspect(scan);

    /// <summary>Files scans that lie on one line of the course.</summary>
    /// <param name="block">Their words, all of them codes.</param>
    /// <param name="place">Place of the first in the block's planes.</param>
    /// <param name="scans">A multiple of 16 within a block, or up to a block's end.</param>
    /// <param name="line">Where they are, from the first on.</param>
    /// <remarks>Until <see cref="FileHeld"/> only runs that follow in the same block may be given.</remarks>
    public void FileRun(ScanBlock block, int place, int scans, in CourseLine line)
    {
        long scan = _last + 1;
        _last += scans;
        Remember(_direct ? PlacedBy.Code : PlacedBy.Line, scan, scans, line);
        if (_direct) Hold(block, place, scans, line.Step);
        else FileByLine(block, place, scan, scans, line);
    }

    private void Remember(PlacedBy kind, long first, int scans, in CourseLine line)
    {
        long scan = first, end = first + scans;
        // Whole blocks, and the pieces before and behind them.
        long blocks = (scan + ScanBlock.Scans) & -ScanBlock.Scans, last = ((end + 1) & -ScanBlock.Scans) - 1;
        if (--blocks < last)
        {
            RememberPieces(kind, scan, blocks, line, first);
            _blocks.Set(blocks, (int)(last - blocks) / ScanBlock.Scans, kind, line.Value + (line.Step * (blocks - first)), line.Step);
            scan = last;
        }

        RememberPieces(kind, scan, end, line, first);
    }

    private void RememberPieces(PlacedBy kind, long from, long end, in CourseLine line, long first)
    {
        if (from >= end) return;
        // Runs end with blocks or lie within one.
        _blocks.SetSingle(from);
        _pieces.Set(from, (int)(end - from) / ScanBlock.Piece, kind, line.Value + (line.Step * (from - first)), line.Step);
    }

    private void RememberSingle(long scan)
    {
        _blocks.SetSingle(scan);
        _pieces.SetSingle(scan);
    }

    /// <summary>Files scans [from, end) where they were filed before.</summary>
    private void FileAnew(long from, long end)
    {
        for (long scan = from; scan < end;)
        {
            PlacedRuns runs = _blocks.KindOf(scan) == PlacedBy.Single ? _pieces : _blocks;
            PlacedBy kind = runs.KindOf(scan);
            int scans = runs.ScansFrom(scan);
            int n = (int)Math.Min(scans, end - scan) & -ScanBlock.Piece;
            if (kind == PlacedBy.Single || n == 0 || !_anew.TryLoad(_scans, scan, n))
            {
                File(scan, PlacedAt(scan));
                scan++;
                continue;
            }

            CourseLine line = runs.LineFrom(scan, n);
            if (kind == PlacedBy.Code) FileByCode(_anew, ScanBlock.First, scan, n, line.Step);
            else FileByLine(_anew, ScanBlock.First, scan, n, line);
            FileLines();
            scan += n;
        }
    }

    private static int OnLine(ColumnGrid grid, long value)
    {
        int column = grid.ColumnOf(value >> FineShift);
        return column < 0 ? column : column | FittedBit;
    }

    private int PlacedAt(long scan)
    {
        PlacedRuns runs = _blocks.KindOf(scan) == PlacedBy.Single ? _pieces : _blocks;
        ColumnGrid grid = _fineGrid ?? _grid;
        return runs.KindOf(scan) switch
        {
            PlacedBy.Code => grid.ColumnOfCode[_scans[scan, _rampChannel]],
            PlacedBy.Line => OnLine(grid, runs.LineFrom(scan, 1).Value),
            _ => _placed[scan & _mask],
        };
    }

    /// <summary>Adds readings of one vertical, side by side, to a column.</summary>
    private void Add(SweepColumns columns, int vertical, int column, in ReadingRun run, ref ushort codes, int count)
    {
        ColumnStatistics into = columns.Verticals[vertical];
        into.Add(column, run);
        if (!_sumsDomains) return;
        DomainTable?[] tables = _tables[vertical];
        for (int d = 0; d < tables.Length; d++)
            if (tables[d] is { } table) into.AddDomain(d, column, ReadingRun.SumOf(table, ref codes, count));
    }

    private void Entered(int first, int last, int scans, bool fitted, int front)
    {
        _live.CountRuns(first, last + 1, scans, fitted);
        Front = front;
        NoteChange(first, last + 1);
    }
}
