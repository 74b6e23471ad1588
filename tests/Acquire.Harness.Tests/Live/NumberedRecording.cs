using Acquire.Recordings;

namespace Acquire.Harness.Tests.Live;

/// <summary>Checks recordings of a <see cref="NumberedSender"/>: every scan stands where the numbers, gaps and first indices say.</summary>
internal static class NumberedRecording
{
    /// <summary>Reads recordings that follow on one another.</summary>
    /// <param name="names">In order.</param>
    /// <returns>Scans in them, and position in the sender's count behind the last one.</returns>
    public static (long Scans, long End) AssertInPlace(IEnumerable<string> names)
    {
        ushort[] words = new ushort[2 * 32_768];
        long scans = 0, end = 0;
        long? begin = null;
        foreach (string name in names)
        {
            using RecordingReader reader = RecordingReader.Open(name);
            long position = reader.FirstIndex;
            while (reader.Read(words) is { Kind: not RecordingReadKind.End } read)
            {
                Assert.NotEqual(RecordingReadKind.Break, read.Kind);
                position += read.LostScans;
                for (int i = 0; i < read.Scans; i++, position++)
                {
                    long number = words[2 * i] | ((long)words[(2 * i) + 1] << 16);
                    begin ??= number;
                    if (number != begin + position) Assert.Fail($"{name}: at position {position} stands scan {number}, not {begin + position}.");
                }

                scans += read.Scans;
                if (read.Scans > 0) end = begin!.Value + position;
            }
        }

        return (scans, end);
    }

    /// <summary>Names of the recordings that a capture left, in order.</summary>
    public static string[] NamesIn(string folder) =>
    [
        .. Directory.GetFiles(folder, "*.sigmf-meta").Where(path => !Path.GetFileName(path).StartsWith('.')).Order(StringComparer.Ordinal).Select(path => path[..^".sigmf-meta".Length]),
    ];
}
