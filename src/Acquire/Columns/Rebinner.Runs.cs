using Acquire.Capture;
using Acquire.Scales;
using Acquire.Sweeps;

namespace Acquire.Columns;

// Many scans filed at a time, and filed anew as they were.
internal sealed partial class Rebinner
{
    private const int FineShift = 16;

    // How each block was placed, or, where it was not as a whole, each piece of it, or where several lines lie in one, each part of it;
    // a piece of single scans has their columns in _placed.
    private readonly PlacedRuns _blocks;
    private readonly PlacedRuns _pieces;
    private readonly PlacedRuns _parts;
    private readonly ScanBlock _anew;

    /// <summary>Whether runs may be filed from a scan on: it is known where the ramp was that its readings belong to, and nothing is to be said of each of them.</summary>
    public bool TakesRuns(long scan) => scan == _last + 1 && scan + _whole >= _placedFrom && !(_direct && _shift == 0 && Settles(scan)) && !_flags.IsSuspect(scan);

    /// <summary>Files scans that lie on lines of the course.</summary>
    /// <param name="block">Their words, all of them codes.</param>
    /// <param name="place">Place of the first in the block's planes.</param>
    /// <param name="lines">Where they are, one after another: each a multiple of 16 scans within a block or up to a block's end, or shorter ones that fill 16.</param>
    /// <remarks>Until <see cref="FileHeld"/> only runs that follow in the same block may be given.</remarks>
    public void FileRuns(ScanBlock block, int place, ReadOnlySpan<CourseLine> lines)
    {
        long first = lines[0].Start;
        _last = lines[^1].End - 1;
        if (_direct)
        {
            // Where each lies is said by its code; the step says only how they are best looked at.
            long step = lines[^1].Step;
            Remember(PlacedBy.Code, first, End, value: 0, step);
            if (_shift == 0) Hold(block, place, (int)(End - first), step);
            else FileShiftedCodes(block, place, first, (int)(End - first));
            return;
        }

        RememberLines(lines);
        if (_shift == 0) FileOnLines(block, place, lines);
        else FileShifted(block, place, first, (int)(End - first));
    }

    private void RememberLines(ReadOnlySpan<CourseLine> lines)
    {
        foreach (ref readonly CourseLine line in lines)
        {
            long scans = line.End - line.Start;
            if (scans == ScanBlock.Piece)
            {
                _blocks.SetSingle(line.Start);
                _pieces.Set(line.Start, PlacedBy.Line, line.Value, line.Step);
            }
            else if (scans == ScanBlock.Scans && ((line.End + 1) & (ScanBlock.Scans - 1)) == 0)
            {
                _blocks.Set(line.Start, PlacedBy.Line, line.Value, line.Step);
            }
            else if (scans < ScanBlock.Piece)
            {
                _blocks.SetSingle(line.Start);
                _pieces.SetLines(line.Start);
                _parts.Set(line.Start, (int)scans / CourseLine.Shortest, PlacedBy.Line, line.Value, line.Step);
            }
            else
            {
                Remember(PlacedBy.Line, line.Start, line.End, line.Value, line.Step);
            }
        }
    }

    private void Remember(PlacedBy kind, long first, long end, long value, long step)
    {
        if (((first + 1) & (ScanBlock.Scans - 1)) == 0 && ((end + 1) & (ScanBlock.Scans - 1)) == 0)
        {
            _blocks.Set(first, (int)(end - first) / ScanBlock.Scans, kind, value, step);
            return;
        }

        // Whole blocks, and the pieces before and behind them.
        long blocks = ((first + ScanBlock.Scans) & -ScanBlock.Scans) - 1, last = ((end + 1) & -ScanBlock.Scans) - 1;
        if (blocks >= last)
        {
            RememberPieces(kind, first, end, value, step);
            return;
        }

        RememberPieces(kind, first, blocks, value, step);
        _blocks.Set(blocks, (int)(last - blocks) / ScanBlock.Scans, kind, value + (step * (blocks - first)), step);
        RememberPieces(kind, last, end, value + (step * (last - first)), step);
    }

    private void RememberPieces(PlacedBy kind, long from, long end, long value, long step)
    {
        if (from >= end) return;
        // As many as lie before a block's end, and those behind it.
        _blocks.SetSingle(from);
        _blocks.SetSingle(end - 1);
        _pieces.Set(from, (int)(end - from) / ScanBlock.Piece, kind, value, step);
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
            PlacedRuns runs = RunsOf(scan);
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
            if (kind == PlacedBy.Code && _shift != 0) FileShiftedCodes(_anew, ScanBlock.First, scan, n);
            else if (kind == PlacedBy.Code) FileByCode(_anew, ScanBlock.First, scan, n, line.Step);
            else if (_shift != 0) FileShifted(_anew, ScanBlock.First, scan, n);
            else FileOnLines(_anew, ScanBlock.First, [line]);
            FileLines();
            scan += n;
        }
    }

    private PlacedRuns RunsOf(long scan)
    {
        if (_blocks.KindOf(scan) != PlacedBy.Single) return _blocks;
        return _pieces.KindOf(scan) == PlacedBy.Lines ? _parts : _pieces;
    }

    private int OnLine(long scan, ColumnGrid grid, long fine) => Noted(scan, grid.ColumnOf(fine)) is var placed && placed < 0 ? placed : placed | FittedBit;

    private int Noted(long scan, int column) => column < 0 ? column : column | Notes(scan);

    private int PlacedAt(long scan)
    {
        PlacedRuns runs = RunsOf(scan);
        ColumnGrid grid = _fineGrid ?? _grid;
        return runs.KindOf(scan) switch
        {
            PlacedBy.Code when _shift != 0 => Noted(scan, grid.ColumnOf(ShiftedFine(scan))),
            PlacedBy.Code => grid.ColumnOfCode[_scans[scan, _rampChannel]],
            PlacedBy.Line => OnLine(scan, grid, _shift != 0 ? ShiftedFine(scan) : runs.LineFrom(scan, 1).Value >> FineShift),
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
