using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;
using Acquire.Columns;

namespace Acquire.Painting;

/// <summary>What a painter was given last, to know which pixels of the next picture can differ.</summary>
internal sealed class SeenPicture
{
    private const int Block = 64;

    private float[] _values = [];
    private float[] _lows = [];
    private float[] _highs = [];
    private float[] _reference = [];
    private byte[] _shades = [];
    private int[] _marks = [];
    private int _border = -1;
    private bool _movesDown;

    /// <summary>Takes a picture in place of the last one.</summary>
    /// <param name="picture">What a trace shows.</param>
    /// <param name="width">Columns of pixels.</param>
    /// <param name="gapPixels">Clear pixels at the front.</param>
    /// <returns>Columns of pixels outside of which both pictures are the same; may hold some that are, too.</returns>
    public ColumnRange Take(in TracePicture picture, int width, int gapPixels)
    {
        int columns = picture.Values.Length;
        var changed = ColumnRange.Empty;
        bool sameShape = Take(picture.Values, ref _values, ref changed) & Take(picture.Lows, ref _lows, ref changed)
            & Take(picture.Highs, ref _highs, ref changed) & Take(picture.Reference, ref _reference, ref changed)
            & Take(picture.Shades, ref _shades, ref changed) & Take(MemoryMarshal.Cast<ColumnMarks, int>(picture.Marks), ref _marks, ref changed);
        ColumnRange gaps = ColumnRange.Empty;
        if (_border != picture.FrontBorder || _movesDown != picture.FrontMovesDown)
        {
            // Columns on both sides of a border are no longer joined, or are again.
            if (_border >= 0) changed = changed.With(new ColumnRange(_border - 1, _border + 1));
            if (picture.FrontBorder >= 0) changed = changed.With(new ColumnRange(picture.FrontBorder - 1, picture.FrontBorder + 1));
            gaps = StripBuilder.GapOf(_border, _movesDown, gapPixels, columns, width)
                .With(StripBuilder.GapOf(picture.FrontBorder, picture.FrontMovesDown, gapPixels, columns, width));
            _border = picture.FrontBorder;
            _movesDown = picture.FrontMovesDown;
        }

        if (!sameShape) return new ColumnRange(0, width);
        return changed.IsEmpty ? gaps : StripBuilder.ReachOf(changed, columns, width).With(gaps);
    }

    private static bool Take<T>(ReadOnlySpan<T> given, ref T[] seen, ref ColumnRange changed)
        where T : unmanaged
    {
        if (given.Length != seen.Length)
        {
            seen = given.ToArray();
            return false;
        }

        // Compared bit by bit: NaN is a value like any other here.
        int first = MemoryMarshal.AsBytes(given).CommonPrefixLength(MemoryMarshal.AsBytes<T>(seen)) / Unsafe.SizeOf<T>();
        if (first == given.Length) return true;
        int end = given.Length;
        while (end - Block > first && Same(given, seen, end - Block, Block)) end -= Block;
        while (Same(given, seen, end - 1, 1)) end--;
        given[first..end].CopyTo(seen.AsSpan(first));
        changed = changed.With(new ColumnRange(first, end));
        return true;
    }

    private static bool Same<T>(ReadOnlySpan<T> given, T[] seen, int at, int count)
        where T : unmanaged =>
        MemoryMarshal.AsBytes(given.Slice(at, count)).SequenceEqual(MemoryMarshal.AsBytes<T>(seen.AsSpan(at, count)));
}
