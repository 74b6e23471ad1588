using Acquire.Recordings;

namespace Acquire.Sources.Tests.Doubles;

/// <summary>Scans of two channels that carry their own position in the stream, so that any scan tells where it belongs.</summary>
internal static class NumberedScans
{
    public static ushort[] From(long position, int count)
    {
        ushort[] scans = new ushort[2 * count];
        for (int i = 0; i < count; i++)
        {
            scans[2 * i] = (ushort)(position + i);
            scans[(2 * i) + 1] = (ushort)((position + i) >> 16);
        }

        return scans;
    }

    /// <summary>Reads to the end; asserts that every scan stands where gaps and the first index say.</summary>
    /// <returns>Position in the stream behind the last scan or gap.</returns>
    public static long AssertInPlace(RecordingReader reader)
    {
        ushort[] scans = new ushort[2 * 4_096];
        long position = reader.FirstIndex;
        while (true)
        {
            RecordingRead read = reader.Read(scans);
            if (read.Kind == RecordingReadKind.End) return position;
            Assert.NotEqual(RecordingReadKind.Break, read.Kind);
            position += read.LostScans;
            for (int i = 0; i < read.Scans; i++, position++)
                if ((scans[2 * i] | (scans[(2 * i) + 1] << 16)) != position) Assert.Fail($"The scan at position {position} is another one.");
        }
    }
}
