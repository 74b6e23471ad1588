using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;
using Acquire.Capture;

namespace Acquire.Columns;

/// <summary>Column after column along the ramp, and among which scans are those of each column's codes.</summary>
internal ref struct ColumnWalk
{
    private const int PiecesInBlock = ScanBlock.Scans / ScanBlock.Piece;

    private readonly ref int _columnOfCode;
    private readonly ref ushort _least;
    private readonly ref ushort _most;
    private readonly int _entries;
    private readonly int _grain;
    private readonly int _scans;
    private readonly int _highest;
    private readonly int _mirror;
    private readonly int _whole;
    private readonly int _lastStart;
    private int _next;
    private int _leastNext;
    private int _from;
    private int _to;

    /// <param name="grid">All codes of the scans are in its columns.</param>
    /// <param name="least">For each so many scans the lowest code of them and those after them; four more follow that are as high as can be.</param>
    /// <param name="most">For each so many scans the highest code of them and those before.</param>
    /// <param name="scans">How many scans.</param>
    /// <param name="grain">Scans to an entry.</param>
    /// <param name="mirror">All ones where entries are the complements of codes, else 0.</param>
    public ColumnWalk(ColumnGrid grid, ref ushort least, ReadOnlySpan<ushort> most, int scans, int grain, ushort mirror)
    {
        _columnOfCode = ref MemoryMarshal.GetReference(grid.ColumnOfCode);
        _least = ref least;
        _most = ref MemoryMarshal.GetReference(most);
        (_entries, _grain, _scans, _highest, _mirror) = (most.Length, grain, scans, most[^1], mirror);
        // Columns hold so many whole codes, or some more.
        _whole = Math.Max(0, (int)((grid.FirstAlong(1) - grid.FirstAlong(0) - 1) / ColumnGrid.FinePerCode));
        // Where one block after another is near enough, nothing depends on how many of its pieces are.
        _lastStart = grain == ScanBlock.Piece && scans >= ScanBlock.Scans ? _entries - PiecesInBlock : -1;
        _next = least;
        int column = Unsafe.Add(ref _columnOfCode, _next ^ mirror);
        _leastNext = mirror == 0 ? grid.EndOfCodes(column) : (grid.FirstOfCodes(column) ^ mirror) + 1;
    }

    /// <summary>Goes on to the next column, if there is one.</summary>
    /// <param name="column">The column.</param>
    /// <param name="first">The first scan that may be in it, a multiple of 16.</param>
    /// <param name="end">One past the last, a multiple of 16.</param>
    /// <param name="low">Its lowest code.</param>
    /// <param name="more">Codes above it that belong to the column too.</param>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public bool TryNext(out int column, out int first, out int end, out ushort low, out ushort more)
    {
        Unsafe.SkipInit(out column);
        Unsafe.SkipInit(out first);
        Unsafe.SkipInit(out end);
        Unsafe.SkipInit(out low);
        Unsafe.SkipInit(out more);
        int lowest = _next;
        if (lowest > _highest) return false;
        // No code is beyond the highest, and that is in a column: nothing need be checked.
        column = Unsafe.Add(ref _columnOfCode, lowest ^ _mirror);
        int next = _leastNext < _highest ? _leastNext : _highest;
        next += Unsafe.Add(ref _columnOfCode, next ^ _mirror) == column ? 1 : 0;
        while (next <= _highest && Unsafe.Add(ref _columnOfCode, next ^ _mirror) == column) next++;
        int from = _from;
        // Seldom more than two pieces further: up to there without a branch that would be guessed wrong.
        from += (Unsafe.Add(ref _most, from) - lowest) >>> 31;
        from += (Unsafe.Add(ref _most, from) - lowest) >>> 31;
        while (Unsafe.Add(ref _most, from) < lowest) from++;
        int start = from < _lastStart ? from : _lastStart;
        if (start >= 0 && Unsafe.Add(ref _least, start + PiecesInBlock) >= next)
        {
            first = start * ScanBlock.Piece;
            end = first + ScanBlock.Scans;
        }
        else
        {
            int to = _to;
            while (to < _entries && Unsafe.Add(ref _least, to) < next) to++;
            first = from * _grain;
            end = Math.Min(to * _grain, _scans);
            _to = to;
        }

        low = (ushort)((_mirror == 0 ? lowest : next - 1) ^ _mirror);
        more = (ushort)(next - 1 - lowest);
        _from = from;
        _next = next;
        _leastNext = next + _whole;
        return true;
    }
}
