using System.Runtime.InteropServices;
using System.Runtime.Intrinsics;

namespace Acquire.Harness.Inspect.Survey;

/// <summary>One channel out of interleaved words.</summary>
internal static class ChannelWords
{
    /// <summary>Copies the words of one channel.</summary>
    /// <param name="scans">Interleaved words, whole scans.</param>
    /// <param name="channelCount">Words in a scan.</param>
    /// <param name="channel">Which of them.</param>
    /// <param name="words">Gets one word for each scan.</param>
    public static void Pick(ReadOnlySpan<ushort> scans, int channelCount, int channel, Span<ushort> words)
    {
        int done = channelCount == 2 && BitConverter.IsLittleEndian ? PickOfTwo(scans, channel, words) : 0;
        for (int at = (done * channelCount) + channel; done < words.Length; done++, at += channelCount) words[done] = scans[at];
    }

    private static int PickOfTwo(ReadOnlySpan<ushort> scans, int channel, Span<ushort> words)
    {
        // A scan is 32 bits, the first channel's the lower ones.
        int step = Vector256<ushort>.Count, done = 0, shift = channel * 16;
        Vector256<uint> wordBits = Vector256.Create((uint)ushort.MaxValue);
        ref ushort from = ref MemoryMarshal.GetReference(scans[..(2 * words.Length)]), into = ref MemoryMarshal.GetReference(words);
        for (; done <= words.Length - step; done += step)
        {
            nuint at = (nuint)done;
            Vector256<uint> first = Vector256.LoadUnsafe(ref from, 2 * at).AsUInt32(), second = Vector256.LoadUnsafe(ref from, (2 * at) + (nuint)step).AsUInt32();
            Vector256.Narrow((first >>> shift) & wordBits, (second >>> shift) & wordBits).StoreUnsafe(ref into, at);
        }

        return done;
    }
}
