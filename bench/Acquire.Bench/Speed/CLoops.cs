using System.Runtime.InteropServices;
using Acquire.Columns;
using Acquire.Sweeps;

namespace Acquire.Bench.Speed;

/// <summary>The loops of rebin.c, compiled by gcc -O3 -march=native when the bench is built; absent where there was no gcc.</summary>
internal sealed partial class CLoops
{
    private readonly int[] _columnOfCode;
    private readonly Column[] _columns;

    public CLoops(int fullCode, int columns = SpeedWords.Columns)
    {
        var grid = ColumnGrid.FromCodes(columns, fullCode, new SweepEdges(0, fullCode), startsAtLowCode: true);
        _columnOfCode = grid.ColumnOfCode.ToArray();
        _columns = new Column[columns + 2];
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

    public void Plain(ReadOnlySpan<ushort> words) => RebinPlain(ref MemoryMarshal.GetReference(words), words.Length / 2, ref _columnOfCode[0], ref _columns[0]);

    public void BranchFree(ReadOnlySpan<ushort> words) => RebinBranchFree(ref MemoryMarshal.GetReference(words), words.Length / 2, ref _columnOfCode[0], ref _columns[0]);

    [LibraryImport("rebin", EntryPoint = "rebin_plain")]
    private static partial void RebinPlain(ref ushort words, long scans, ref int columnOfCode, ref Column columns);

    [LibraryImport("rebin", EntryPoint = "rebin_branch_free")]
    private static partial void RebinBranchFree(ref ushort words, long scans, ref int columnOfCode, ref Column columns);
}
