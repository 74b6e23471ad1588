using System.Runtime.InteropServices;
using Acquire.Capture;
using Acquire.Scales;
using Acquire.Sweeps;

namespace Acquire.Columns;

// Many scans filed at a time, and filed anew as they were.
internal sealed partial class Rebinner
{
    private const int FineShift = 16;

    // How each block was placed, or, where it was not as a whole, each piece of it; a piece of single scans has their columns in _placed.
    private readonly PlacedRun[] _blocks;
    private readonly PlacedRun[] _pieces;
    private readonly ScanBlock _anew;

    private enum RunKind : byte
    {
        Single,
        ByCode,
        ByLine,
    }

    [StructLayout(LayoutKind.Auto)]
    private record struct PlacedRun(RunKind Kind, long Start, long Value, long Step)
    {
        public readonly CourseLine From(long scan, int scans) => new(scan, scan + scans, Value + (Step * (scan - Start)), Step, 0, 0);
    }

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
        Remember(new PlacedRun(_direct ? RunKind.ByCode : RunKind.ByLine, scan, line.Value, line.Step), scans);
        if (_direct) Hold(block, place, scans, line);
        else FileByLine(block, place, scan, scans, line);
    }

    private void Remember(in PlacedRun run, int scans)
    {
        for (long scan = run.Start, end = scan + scans; scan < end;)
        {
            ref PlacedRun block = ref BlockOf(scan);
            if (((scan + 1) & (ScanBlock.Scans - 1)) == 0 && end - scan >= ScanBlock.Scans)
            {
                block = run;
                scan += ScanBlock.Scans;
                continue;
            }

            block.Kind = RunKind.Single;
            PieceOf(scan) = run;
            scan += ScanBlock.Piece;
        }
    }

    private void RememberSingle(long scan)
    {
        BlockOf(scan).Kind = RunKind.Single;
        PieceOf(scan).Kind = RunKind.Single;
    }

    /// <summary>Files scans [from, end) where they were filed before.</summary>
    private void FileAnew(long from, long end)
    {
        for (long scan = from; scan < end;)
        {
            ref PlacedRun placed = ref PlacedWith(scan, out int scans);
            int n = (int)Math.Min(scans, end - scan) & -ScanBlock.Piece;
            if (placed.Kind == RunKind.Single || n == 0 || !_anew.TryLoad(_scans, scan, n))
            {
                File(scan, PlacedAt(scan));
                scan++;
                continue;
            }

            CourseLine line = placed.From(scan, n);
            if (placed.Kind == RunKind.ByCode) FileByCode(_anew, ScanBlock.First, scan, n, line);
            else FileByLine(_anew, ScanBlock.First, scan, n, line);
            scan += n;
        }
    }

    private static int OnLine(ColumnGrid grid, long value)
    {
        int column = grid.ColumnOf(value >> FineShift);
        return column < 0 ? column : column | FittedBit;
    }

    private ref PlacedRun BlockOf(long scan) => ref _blocks[(long)((ulong)(scan + 1) / ScanBlock.Scans) & (_blocks.Length - 1)];

    private ref PlacedRun PieceOf(long scan) => ref _pieces[(long)((ulong)(scan + 1) / ScanBlock.Piece) & (_pieces.Length - 1)];

    /// <summary>How a scan was placed, and how many scans from it on were placed so with it.</summary>
    private ref PlacedRun PlacedWith(long scan, out int scans)
    {
        ref PlacedRun block = ref BlockOf(scan);
        int length = block.Kind == RunKind.Single ? ScanBlock.Piece : ScanBlock.Scans;
        scans = length - (int)((scan + 1) % length);
        return ref block.Kind == RunKind.Single ? ref PieceOf(scan) : ref block;
    }

    private int PlacedAt(long scan)
    {
        ref PlacedRun placed = ref PlacedWith(scan, out _);
        ColumnGrid grid = _fineGrid ?? _grid;
        return placed.Kind switch
        {
            RunKind.ByCode => grid.ColumnOfCode[_scans[scan, _rampChannel]],
            RunKind.ByLine => OnLine(grid, placed.Value + (placed.Step * (scan - placed.Start))),
            _ => _placed[scan & _mask],
        };
    }

    /// <summary>Adds readings of one vertical, side by side, to a column.</summary>
    private void Add(SweepColumns columns, int vertical, int column, in ReadingRun run, ref ushort codes, int count)
    {
        ColumnStatistics into = columns.Verticals[vertical];
        bool first = into.Counts[column] == 0;
        into.Add(column, run);
        if (!_sumsDomains) return;
        DomainTable?[] tables = _tables[vertical];
        for (int d = 0; d < tables.Length; d++)
            if (tables[d] is { } table) into.AddDomain(d, column, ReadingRun.SumOf(table, ref codes, count), first);
    }

    private void Entered(int first, int last, int scans, bool fitted, int front)
    {
        _live.CountRuns(first, last + 1, scans, fitted);
        Front = front;
        NoteChange(first, last + 1);
    }
}
