using System.Numerics;
using Acquire.Columns;
using Acquire.Scales;
using Acquire.Sweeps;
using Acquire.Tests.Models;

namespace Acquire.Tests.Engine;

/// <summary>Direct placement as one would write it down: one scan after the other, the column of each code in exact fractions.</summary>
internal sealed class PlainLoop
{
    private readonly ScanStream _stream;
    private readonly Setup _setup;
    private readonly SlowColumnGrid _rising;
    private readonly SlowColumnGrid _falling;
    private readonly Dictionary<(bool, BigInteger), int> _known = [];

    public PlainLoop(ScanStream stream, Setup setup)
    {
        _stream = stream;
        _setup = setup;
        _rising = Grid(startsAtLowCode: true);
        _falling = Grid(startsAtLowCode: false);
    }

    /// <summary>What one column holds of one vertical.</summary>
    internal record struct Cell(long Count, int Highest, int Lowest, int Last, BigInteger Sum, BigInteger SquareSum, BigInteger[] DomainSums);

    /// <summary>Columns of a vertical, with where the scans of the sweep went.</summary>
    internal sealed record Sweep(Cell[] Columns, long InColumns, long Overscan, long Blanked, long Unfiled);

    /// <summary>Places the scans [start, end) of a sweep.</summary>
    /// <param name="info">The sweep.</param>
    /// <param name="startsHigh">Column 0 lies at the high edge.</param>
    /// <param name="vertical">0 is the first vertical.</param>
    /// <param name="tables">Tables of the domains that are summed.</param>
    public Sweep Place(in SweepInfo info, bool startsHigh, int vertical, IReadOnlyList<DomainTable> tables)
    {
        int full = _setup.Scan.FullCode, ramp = _setup.Scan.RampChannel, channel = _setup.Scan.VerticalChannels[vertical];
        double delay = _setup.Columns.VideoDelaySeconds * (_setup.Scan.ScanRateHz ?? 0);
        Cell[] cells = new Cell[_setup.Columns.ColumnCount];
        long inColumns = 0, overscan = 0, blanked = 0, unfiled = 0;
        for (long scan = info.StartScan; scan < info.EndScan; scan++)
        {
            if (_stream[scan, ramp] > full || _setup.Scan.VerticalChannels.Any(c => _stream[scan, c] > full))
            {
                blanked++;
                continue;
            }

            int column;
            if (delay == 0)
            {
                column = ColumnOf(_stream[scan, ramp] * (BigInteger)65_536, startsHigh);
            }
            else if (scan - delay < info.StartScan)
            {
                unfiled++;
                continue;
            }
            else
            {
                long before = (long)Math.Floor(scan - delay);
                double share = scan - delay - before, from = CodeAt(before, info.StartScan), to = CodeAt(before + 1, info.StartScan);
                column = ColumnOf((BigInteger)Math.Round((from + (share * (to - from))) * 65_536), startsHigh);
            }

            if (column < 0)
            {
                overscan++;
                continue;
            }

            inColumns++;
            int code = _stream[scan, channel];
            ref Cell cell = ref cells[column];
            cell.Highest = cell.Count == 0 ? code : Math.Max(cell.Highest, code);
            cell.Lowest = cell.Count == 0 ? code : Math.Min(cell.Lowest, code);
            cell.Last = code;
            cell.Sum += code;
            cell.SquareSum += (BigInteger)code * code;
            cell.DomainSums ??= new BigInteger[tables.Count];
            for (int d = 0; d < tables.Count; d++) cell.DomainSums[d] += tables[d][code];
            cell.Count++;
        }

        return new Sweep(cells, inColumns, overscan, blanked, unfiled);
    }

    /// <returns>Null where the columns are the same to the bit, otherwise what differs.</returns>
    public static string? Difference(Sweep expected, ColumnStatistics actual, IReadOnlyList<AveragingDomain> domains)
    {
        for (int c = 0; c < expected.Columns.Length; c++)
        {
            Cell cell = expected.Columns[c];
            if (actual.Counts[c] != cell.Count) return $"column {c} holds {actual.Counts[c]} scans, not {cell.Count}";
            if (cell.Count == 0) continue;
            if (actual.HighestCodes[c] != cell.Highest || actual.LowestCodes[c] != cell.Lowest) return $"column {c}: highest or lowest";
            if (actual.LastCodes[c] != cell.Last) return $"column {c}: last";
            if (actual.CodeSums[c] != cell.Sum || actual.CodeSquareSums[c] != (UInt128)cell.SquareSum) return $"column {c}: sums";
            for (int d = 0; d < domains.Count; d++)
                if (actual.DomainSums(domains[d])[c] != (Int128)cell.DomainSums[d]) return $"column {c}: sum of {domains[d]}";
        }

        return null;
    }

    private double CodeAt(long scan, long start)
    {
        // A code beyond the bits is no position: the ramp is taken to stand.
        int full = _setup.Scan.FullCode;
        while (scan > start && _stream[scan, _setup.Scan.RampChannel] > full) scan--;
        return Math.Min((int)_stream[scan, _setup.Scan.RampChannel], full);
    }

    private int ColumnOf(BigInteger fine, bool startsHigh)
    {
        if (!_known.TryGetValue((startsHigh, fine), out int column))
            _known[(startsHigh, fine)] = column = (startsHigh ? _falling : _rising).ColumnOf(fine, 65_536);
        return column;
    }

    private SlowColumnGrid Grid(bool startsAtLowCode)
    {
        SweepEdges edges = _setup.Sweep.Edges!;
        CodeVolts volts = _setup.RampVolts ?? new CodeVolts(0, _setup.Scan.FullCode);
        return SlowColumnGrid.OnVolts(
            _setup.Columns.ColumnCount, _setup.Scan.FullCode, volts.AtCodeZero, volts.AtFullCode, edges.Low, edges.High, startsAtLowCode);
    }
}
