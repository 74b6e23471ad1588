using Acquire.Capture;

namespace Acquire.Tests.Doubles;

/// <summary>A stream whose words say their own position, so that a reader can check every scan and every gap without a model.</summary>
internal static class CountingScans
{
    public static ushort WordOf(long scan, int channel) => (ushort)(scan + (channel * 7));

    /// <summary>A host's producer: fills halves, and skips what finds no free half.</summary>
    public static void Produce(PingPongBuffer buffer, int scans, ref long next)
    {
        int channels = buffer.Options.ChannelCount;
        while (scans > 0)
        {
            int count = Math.Min(scans, buffer.Options.ScansPerHalf);
            scans -= count;
            if (!buffer.TryBeginFill(out Span<ushort> half))
            {
                buffer.Skip(count, GapCause.Overrun);
                next += count;
                continue;
            }

            for (int i = 0; i < count; i++, next++)
                for (int c = 0; c < channels; c++) half[(i * channels) + c] = WordOf(next, c);
            buffer.CompleteFill(count);
        }
    }

    /// <summary>Checks that gaps and scans continue exactly at a position, and moves it.</summary>
    public static void AssertContinues(DrainedHalf half, ref long position)
    {
        if (!Continues(half, ref position)) Assert.Fail($"The half does not continue at scan {position}.");
    }

    /// <summary>Whether gaps and scans continue exactly at a position, which is moved.</summary>
    public static bool Continues(DrainedHalf half, ref long position)
    {
        foreach (ScanGap gap in half.GapsBefore) position += gap.LostScans;
        bool right = HoldsFrom(half, position);
        position += half.ScanCount;
        return right;
    }

    /// <summary>Whether the half holds the scans from a position on.</summary>
    public static bool HoldsFrom(DrainedHalf half, long position)
    {
        int channels = half.ScanCount == 0 ? 1 : half.Scans.Length / half.ScanCount;
        for (int i = 0; i < half.Scans.Length; i++)
            if (half.Scans[i] != WordOf(position + (i / channels), i % channels)) return false;
        return true;
    }
}
