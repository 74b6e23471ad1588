using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;
using System.Runtime.Intrinsics;

namespace Acquire.Capture;

/// <summary>Up to sixteen blocks of scans, the words of each channel of interest side by side, with the few scans before them.</summary>
/// <remarks>
/// Entry <see cref="First"/> of a plane is the last scan before those loaded: it has waited for the one after it. So a block holds the
/// scans that enter the tracker when its words are taken.
/// </remarks>
internal sealed class ScanBlock
{
    /// <summary>Scans of a block.</summary>
    public const int Scans = 64;

    /// <summary>Scans that can be loaded at once.</summary>
    public const int Most = 1_024;

    /// <summary>Scans are loaded, and taken, by so many.</summary>
    public const int Piece = 16;

    /// <summary>Place of the first scan in a plane.</summary>
    public const int First = Lead - 1;

    private const int Lead = 4;

    // Vectors may read beyond the last scan; what they find there is masked.
    private const int Length = Lead + Most + 32;

    private readonly int[] _channels;
    private readonly int _words;
    private readonly int _full;
    private readonly ushort[][] _planes;
    private readonly bool _pairs;

    // For each plane and each vector of eight words of which as many scans consist: the bytes that go into the plane.
    private readonly Vector128<byte>[] _picks;

    /// <param name="format">Layout of a scan.</param>
    /// <param name="withBlanking">Whether the blanking channel is of interest too; there is one then.</param>
    public ScanBlock(ScanFormat format, bool withBlanking)
    {
        _channels = [format.RampChannel, .. format.VerticalChannels];
        if (withBlanking) _channels = [.. _channels, format.BlankingChannel];
        _words = format.ChannelCount;
        _full = format.FullCode;
        _planes = [.. _channels.Select(_ => new ushort[Length])];
        _pairs = _words == 2 && Vector256.IsHardwareAccelerated;
        _picks = [.. _channels.SelectMany(channel => Enumerable.Range(0, _words).Select(vector => PickOf(channel, vector)))];
    }

    /// <summary>Scans loaded.</summary>
    public int Loaded { get; private set; }

    /// <summary>Codes of the ramp.</summary>
    public ushort[] Ramp => _planes[0];

    /// <summary>Codes of a vertical.</summary>
    /// <param name="vertical">0 is the first.</param>
    public ushort[] Vertical(int vertical) => _planes[vertical + 1];

    /// <summary>Codes of the blanking channel, where it is of interest.</summary>
    public ushort[] Blanking => _planes[^1];

    /// <summary>Takes the scans before those to be loaded next.</summary>
    /// <returns>Whether all words of the last of them are codes.</returns>
    public bool Prime(ScanHistory history)
    {
        Loaded = 0;
        for (int c = 0; c < _channels.Length; c++)
        {
            ushort[] plane = _planes[c];
            for (int i = 0; i < Lead; i++) plane[i] = history[Math.Max(0, history.End - Lead + i), _channels[c]];
            if (plane[Lead - 1] > _full) return false;
        }

        return true;
    }

    /// <summary>Loads scans that were taken before.</summary>
    /// <param name="history">Where they are.</param>
    /// <param name="scan">The one that comes to lie at <see cref="First"/>; three before it are loaded too.</param>
    /// <param name="scans">How many, a multiple of <see cref="Piece"/>, at most <see cref="Most"/>.</param>
    /// <returns>Whether they were there and all of their words are codes.</returns>
    public bool TryLoad(ScanHistory history, long scan, int scans)
    {
        if (scan - First < history.Oldest || scan + scans > history.End) return false;
        for (int c = 0; c < _channels.Length; c++)
        {
            ushort[] plane = _planes[c];
            for (int i = 0; i < First; i++) plane[i] = history[scan - First + i, _channels[c]];
        }

        Loaded = scans;
        ReadOnlySpan<ushort> words = history.Words(scan, scans);
        if (words.Length > 0) return Load(words, First) <= _full;
        int highest = 0;
        for (int c = 0; c < _channels.Length; c++)
        {
            Span<ushort> plane = _planes[c].AsSpan(First, scans);
            for (int i = 0; i < plane.Length; i++) highest = Math.Max(highest, plane[i] = history[scan + i, _channels[c]]);
        }

        return highest <= _full;
    }

    /// <summary>Puts a ramp code as the tracker knows it in the place of one of the scans before those to be loaded.</summary>
    /// <param name="back">1 is the last of them, at most 4.</param>
    /// <param name="code">Ramp code.</param>
    public void SetBefore(int back, ushort code) => _planes[0][Lead - back] = code;

    /// <summary>Loads the next scans.</summary>
    /// <param name="words">Interleaved words of a multiple of <see cref="Piece"/> scans, at most <see cref="Most"/>.</param>
    /// <returns>Whether all words are codes; if not they may be loaded again, fewer.</returns>
    public bool TryLoadNext(ReadOnlySpan<ushort> words)
    {
        if (Loaded > 0)
            foreach (ushort[] plane in _planes) plane.AsSpan(Loaded, Lead).CopyTo(plane);
        Loaded = 0;
        if (Load(words, Lead) > _full) return false;
        Loaded = words.Length / _words;
        return true;
    }

    /// <summary>Whether the blanking codes of 16 scans lie in a range.</summary>
    /// <param name="place">Place of the first scan.</param>
    /// <param name="range">First and last code; there are none where the first is above the last.</param>
    public bool IsBlankingWithin(int place, (int First, int Last) range)
    {
        if (range.First > range.Last) return false;
        var codes = Vector256.Create(Blanking, place);
        return Vector256.GreaterThanOrEqualAll(codes, Vector256.Create((ushort)range.First)) && Vector256.LessThanOrEqualAll(codes, Vector256.Create((ushort)range.Last));
    }

    /// <summary>Takes but the first of the scans that were loaded.</summary>
    /// <param name="scans">How many, a multiple of <see cref="Piece"/>, no more than there are.</param>
    public void Keep(int scans) => Loaded = scans;

    /// <summary>Lowest and highest ramp code.</summary>
    /// <param name="place">Place of the first scan.</param>
    /// <param name="scans">A multiple of <see cref="Piece"/>.</param>
    public (int Lowest, int Highest) RampRange(int place, int scans)
    {
        ref ushort codes = ref _planes[0][place];
        Vector256<ushort> lowest = Vector256<ushort>.AllBitsSet, highest = default;
        for (nuint i = 0; i < (nuint)scans; i += Piece)
        {
            Vector256<ushort> some = Vector256.LoadUnsafe(ref codes, i);
            lowest = Vector256.Min(lowest, some);
            highest = Vector256.Max(highest, some);
        }

        return (Lanes.Lowest(lowest), Lanes.Highest(highest));
    }

    /// <summary>Lowest ramp code of some scans and all after them, and highest of them and all before, for each so many scans.</summary>
    /// <param name="place">Place of the first scan.</param>
    /// <param name="scans">How many, a multiple of <see cref="Piece"/>.</param>
    /// <param name="grain">Scans to an entry, a multiple of <see cref="Piece"/>; the last may have fewer.</param>
    /// <param name="mirror">0, or all ones to take the codes' complements.</param>
    /// <param name="least">Gets the lowest.</param>
    /// <param name="most">Gets the highest.</param>
    public void RampRanges(int place, int scans, int grain, ushort mirror, Span<ushort> least, Span<ushort> most)
    {
        ref ushort codes = ref _planes[0][place];
        var mirrors = Vector256.Create(mirror);
        Vector256<ushort> highest = default;
        for (int i = 0, at = 0; i < most.Length; i++)
        {
            Vector256<ushort> lowest = Vector256<ushort>.AllBitsSet;
            for (int end = Math.Min(at + grain, scans); at < end; at += Piece)
            {
                Vector256<ushort> some = Vector256.LoadUnsafe(ref codes, (nuint)at) ^ mirrors;
                lowest = Vector256.Min(lowest, some);
                highest = Vector256.Max(highest, some);
            }

            least[i] = (ushort)Lanes.Lowest(lowest);
            most[i] = (ushort)Lanes.Highest(highest);
        }

        for (int i = least.Length - 1; i > 0; i--) least[i - 1] = Math.Min(least[i - 1], least[i]);
    }

    private int Load(ReadOnlySpan<ushort> words, int place) => _pairs ? LoadPairs(words, place) : LoadAny(words, place);

    [MethodImpl(MethodImplOptions.NoInlining)]
    private int LoadPairs(ReadOnlySpan<ushort> words, int place)
    {
        ref ushort from = ref MemoryMarshal.GetReference(words);
        int scans = words.Length / 2;
        ref ushort even = ref _planes[_channels[0] == 0 ? 0 : 1].AsSpan(place, scans)[0], odd = ref _planes[_channels[0] == 0 ? 1 : 0].AsSpan(place, scans)[0];
        Vector256<ushort> most = default;
        Vector256<uint> evens = Vector256.Create(0xFFFFu);
        for (nuint i = 0; i < (nuint)scans; i += Piece)
        {
            Vector256<ushort> a = Vector256.LoadUnsafe(ref from, 2 * i), b = Vector256.LoadUnsafe(ref from, (2 * i) + Piece);
            most = Vector256.Max(most, Vector256.Max(a, b));
            Lanes.Narrow(a.AsUInt32() & evens, b.AsUInt32() & evens).StoreUnsafe(ref even, i);
            Lanes.Narrow(a.AsUInt32() >>> 16, b.AsUInt32() >>> 16).StoreUnsafe(ref odd, i);
        }

        return Lanes.Highest(most);
    }

    private int LoadAny(ReadOnlySpan<ushort> words, int place)
    {
        ref ushort from = ref MemoryMarshal.GetReference(words);
        for (int c = 0; c < _channels.Length; c++) Pick(ref from, words.Length, _picks.AsSpan(c * _words, _words), ref _planes[c].AsSpan(place, words.Length / _words)[0]);
        Vector256<ushort> most = default;
        for (nuint i = 0; i < (nuint)words.Length; i += Piece) most = Vector256.Max(most, Vector256.LoadUnsafe(ref from, i));
        return Lanes.Highest(most);
    }

    private static void Pick(ref ushort from, int words, ReadOnlySpan<Vector128<byte>> picks, ref ushort to)
    {
        if (picks.Length == 3)
        {
            PickOfThree(ref from, words / 3, picks[0], picks[1], picks[2], ref to);
            return;
        }

        ref ushort end = ref Unsafe.Add(ref from, words);
        while (Unsafe.IsAddressLessThan(ref from, ref end))
        {
            Vector128<byte> picked = default;
            foreach (ref readonly Vector128<byte> pick in picks)
            {
                picked |= Vector128.ShuffleNative(Vector128.LoadUnsafe(ref from).AsByte(), pick);
                from = ref Unsafe.Add(ref from, Vector128<ushort>.Count);
            }

            picked.AsUInt16().StoreUnsafe(ref to);
            to = ref Unsafe.Add(ref to, Vector128<ushort>.Count);
        }
    }

    private static void PickOfThree(ref ushort from, int scans, Vector128<byte> first, Vector128<byte> second, Vector128<byte> third, ref ushort to)
    {
        nuint vector = (nuint)Vector128<ushort>.Count;
        for (nuint scan = 0; scan < (nuint)scans; scan += vector)
        {
            nuint at = 3 * scan;
            Vector128<byte> picked = Vector128.ShuffleNative(Vector128.LoadUnsafe(ref from, at).AsByte(), first)
                | Vector128.ShuffleNative(Vector128.LoadUnsafe(ref from, at + vector).AsByte(), second)
                | Vector128.ShuffleNative(Vector128.LoadUnsafe(ref from, at + (2 * vector)).AsByte(), third);
            picked.AsUInt16().StoreUnsafe(ref to, scan);
        }
    }

    // Nothing is picked for a word of another vector.
    private Vector128<byte> PickOf(int channel, int vector)
    {
        Span<byte> bytes = stackalloc byte[Vector128<byte>.Count];
        for (int i = 0; i < bytes.Length; i++)
        {
            int at = (2 * (channel + (_words * (i / 2)))) + (i % 2) - (vector * bytes.Length);
            bytes[i] = at >= 0 && at < bytes.Length ? (byte)at : byte.MaxValue;
        }

        return Vector128.Create<byte>(bytes);
    }
}
