using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;
using System.Runtime.Intrinsics;

namespace Acquire.Capture;

/// <summary>A block of scans, the words of each channel of interest side by side, with the few scans before it.</summary>
/// <remarks>
/// Entry <see cref="First"/> of a plane is the last scan before those loaded: it has waited for the one after it. So a block holds the
/// scans that enter the tracker when its words are taken.
/// </remarks>
internal sealed class ScanBlock
{
    /// <summary>Scans of a block.</summary>
    public const int Scans = 64;

    /// <summary>Place of a block's first scan in a plane.</summary>
    public const int First = Lead - 1;

    private const int Lead = 4;

    // Vectors may read beyond the last scan; what they find there is masked.
    private const int Length = Lead + Scans + 32;

    private readonly int[] _channels;
    private readonly int _words;
    private readonly int _full;
    private readonly ushort[][] _planes;
    private readonly bool _pairs;

    /// <param name="format">Layout of a scan.</param>
    public ScanBlock(ScanFormat format)
    {
        _channels = [format.RampChannel, .. format.VerticalChannels];
        _words = format.ChannelCount;
        _full = format.FullCode;
        _planes = [.. _channels.Select(_ => new ushort[Length])];
        _pairs = _words == 2 && Vector256.IsHardwareAccelerated;
    }

    /// <summary>Codes of the ramp.</summary>
    public ushort[] Ramp => _planes[0];

    /// <summary>Codes of a vertical.</summary>
    /// <param name="vertical">0 is the first.</param>
    public ushort[] Vertical(int vertical) => _planes[vertical + 1];

    /// <summary>Takes the scans before the next block.</summary>
    /// <returns>Whether all words of the last of them are codes.</returns>
    public bool Prime(ScanHistory history)
    {
        for (int c = 0; c < _channels.Length; c++)
        {
            ushort[] plane = _planes[c];
            for (int i = 0; i < Lead; i++) plane[Scans + i] = history[Math.Max(0, history.End - Lead + i), _channels[c]];
            if (plane[Scans + Lead - 1] > _full) return false;
        }

        return true;
    }

    /// <summary>Loads scans that were taken before.</summary>
    /// <param name="history">Where they are.</param>
    /// <param name="scan">The one that comes to lie at <see cref="First"/>; three before it are loaded too.</param>
    /// <param name="scans">How many, at most 64.</param>
    /// <returns>Whether they were there and all of their words are codes.</returns>
    public bool TryLoad(ScanHistory history, long scan, int scans)
    {
        if (scan - First < history.Oldest || scan + scans > history.End) return false;
        int highest = 0;
        for (int c = 0; c < _channels.Length; c++)
        {
            ushort[] plane = _planes[c];
            for (int i = 0; i < scans + First; i++) plane[i] = history[scan - First + i, _channels[c]];
            for (int i = First; i < scans + First; i++) highest = Math.Max(highest, plane[i]);
        }

        return highest <= _full;
    }

    /// <summary>Puts a ramp code as the tracker knows it in the place of one of the scans before the next block.</summary>
    /// <param name="back">1 is the last of them, at most 4.</param>
    /// <param name="code">Ramp code.</param>
    public void SetBefore(int back, ushort code) => _planes[0][Scans + Lead - back] = code;

    /// <summary>Loads the next block.</summary>
    /// <param name="words">Interleaved words of <see cref="Scans"/> scans.</param>
    /// <returns>Whether all words are codes.</returns>
    public bool Load(ReadOnlySpan<ushort> words)
    {
        foreach (ushort[] plane in _planes) Unsafe.WriteUnaligned(ref Unsafe.As<ushort, byte>(ref plane[0]), Unsafe.ReadUnaligned<ulong>(ref Unsafe.As<ushort, byte>(ref plane[Scans])));
        ref ushort from = ref MemoryMarshal.GetReference(words[..(Scans * _words)]);
        return (_pairs ? LoadPairs(ref from) : LoadAny(words)) <= _full;
    }

    /// <summary>Lowest and highest ramp code.</summary>
    /// <param name="place">Place of the first scan.</param>
    /// <param name="scans">16, 32, 48 or 64.</param>
    public (int Lowest, int Highest) RampRange(int place, int scans)
    {
        ref ushort codes = ref _planes[0][place];
        Vector256<ushort> lowest = Vector256<ushort>.AllBitsSet, highest = default;
        for (nuint i = 0; i < (nuint)scans; i += 16)
        {
            Vector256<ushort> some = Vector256.LoadUnsafe(ref codes, i);
            lowest = Vector256.Min(lowest, some);
            highest = Vector256.Max(highest, some);
        }

        return (Lanes.Lowest(lowest), Lanes.Highest(highest));
    }

    private int LoadPairs(ref ushort from)
    {
        ref ushort even = ref _planes[_channels[0] == 0 ? 0 : 1][Lead], odd = ref _planes[_channels[0] == 0 ? 1 : 0][Lead];
        Vector256<ushort> most = default;
        for (nuint i = 0; i < 2 * Scans; i += 32)
        {
            Vector256<ushort> a = Vector256.LoadUnsafe(ref from, i), b = Vector256.LoadUnsafe(ref from, i + 16);
            most = Vector256.Max(most, Vector256.Max(a, b));
            Vector256.Narrow(a.AsUInt32() & Vector256.Create(0xFFFFu), b.AsUInt32() & Vector256.Create(0xFFFFu)).StoreUnsafe(ref even, i / 2);
            Vector256.Narrow(a.AsUInt32() >>> 16, b.AsUInt32() >>> 16).StoreUnsafe(ref odd, i / 2);
        }

        return Lanes.Highest(most);
    }

    private int LoadAny(ReadOnlySpan<ushort> words)
    {
        for (int c = 0; c < _channels.Length; c++)
        {
            Span<ushort> plane = _planes[c].AsSpan(Lead, Scans);
            for (int i = 0, at = _channels[c]; i < plane.Length; i++, at += _words) plane[i] = words[at];
        }

        Vector256<ushort> most = default;
        int whole = Scans * _words;
        ref ushort from = ref MemoryMarshal.GetReference(words);
        for (nuint i = 0; i < (nuint)whole; i += 16) most = Vector256.Max(most, Vector256.LoadUnsafe(ref from, i));
        return Lanes.Highest(most);
    }
}
