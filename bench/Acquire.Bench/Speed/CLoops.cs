using System.Runtime.InteropServices;
using Acquire.Columns;
using Acquire.Sweeps;

namespace Acquire.Bench.Speed;

/// <summary>The loops of rebin.c, compiled by gcc -O3 -march=native when the bench is built; absent where there was no gcc.</summary>
internal sealed partial class CLoops
{
    // Noise of 1.5 codes rms, the converter's rounding, and that of the told line.
    private const int MostOff = 12;

    // Of the history that the told sweeps go to.
    private const int Rows = 64;

    private readonly int[] _columnOfCode;
    private readonly Column[] _columns;
    private readonly KnownColumn[] _sweep;
    private readonly KnownColumn[] _picture;
    private readonly KnownColumn[] _rows;
    private int[] _begins = [];

    public CLoops(int fullCode, int columns = SpeedWords.Columns)
    {
        var grid = ColumnGrid.FromCodes(columns, fullCode, new SweepEdges(0, fullCode), startsAtLowCode: true);
        _columnOfCode = grid.ColumnOfCode.ToArray();
        _columns = new Column[columns + 2];
        (_sweep, _picture, _rows) = (new KnownColumn[columns], new KnownColumn[columns], new KnownColumn[columns * Rows]);
    }

    public static bool Exist { get; } = NativeLibrary.TryLoad("rebin", typeof(CLoops).Assembly, null, out _);

    /// <summary>The column of each code; negative outside of the screen.</summary>
    public ReadOnlySpan<int> ColumnOfCode => _columnOfCode;

    [StructLayout(LayoutKind.Sequential)]
    private struct Column
    {
        public long Count;
        public long Sum;
        public ushort Highest;
        public ushort Lowest;
    }

    [StructLayout(LayoutKind.Sequential)]
    private struct KnownColumn
    {
        public long Sum;
        public long Squares;
        public int Count;
        public ushort Highest;
        public ushort Lowest;
        public ushort Last;
    }

    public void Plain(ReadOnlySpan<ushort> words) => RebinPlain(ref MemoryMarshal.GetReference(words), words.Length / 2, ref _columnOfCode[0], ref _columns[0]);

    public void BranchFree(ReadOnlySpan<ushort> words) => RebinBranchFree(ref MemoryMarshal.GetReference(words), words.Length / 2, ref _columnOfCode[0], ref _columns[0]);

    /// <summary>Takes columns from sweeps that are told: what is left of the work when nothing has to be found.</summary>
    /// <param name="words">As <see cref="SpeedWords.Fill"/> draws them, of 12 bits.</param>
    /// <param name="scansPerColumn">As it was given there; at most 256.</param>
    /// <exception cref="InvalidOperationException">The ramp is not where it is told to be.</exception>
    public void Known(ReadOnlySpan<ushort> words, int scansPerColumn)
    {
        const int One = 1 << 16;
        int columns = _sweep.Length, sweepScans = columns * scansPerColumn, period = SpeedWords.PeriodScans(scansPerColumn);
        if (_begins.Length == 0 || _begins[1] != scansPerColumn) _begins = [.. Enumerable.Range(0, columns + 1).Select(c => c * scansPerColumn)];
        (double low, double high) = SpeedWords.RampCodes;
        long sweeps = words.Length / 2 / period;
        long off = RebinKnown(
            ref MemoryMarshal.GetReference(words), sweeps, period, ref _begins[0], columns, (int)(low * One), (int)((high - low) * One / sweepScans), MostOff,
            ref _sweep[0], ref _picture[0], ref _rows[0], Rows);
        if (off > 0) throw new InvalidOperationException($"{off} of {sweeps * columns} columns have a scan further than {MostOff} codes from the line that their ramp should follow.");
    }

    [LibraryImport("rebin", EntryPoint = "rebin_known")]
    private static partial long RebinKnown(
        ref ushort words, long sweeps, long period, ref int begins, int columns, int line, int step, int mostOff, ref KnownColumn sweep, ref KnownColumn picture, ref KnownColumn rows, int rowCount);

    [LibraryImport("rebin", EntryPoint = "rebin_plain")]
    private static partial void RebinPlain(ref ushort words, long scans, ref int columnOfCode, ref Column columns);

    [LibraryImport("rebin", EntryPoint = "rebin_branch_free")]
    private static partial void RebinBranchFree(ref ushort words, long scans, ref int columnOfCode, ref Column columns);
}
