using Acquire.Capture;
using Acquire.Harness.Inspect;

namespace Acquire.Harness.Tests.Inspect;

/// <summary>Shows scans from memory in blocks of an odd size.</summary>
internal sealed class MemoryWalk(ushort[] words, int channels, IReadOnlyList<(long AtScan, long? Lost)> gaps) : IScanWalk
{
    private const int ScansPerBlock = 997;

    public void Walk(IScanVisitor visitor, CancellationToken cancel)
    {
        long scan = 0, end = words.Length / channels;
        int gap = 0;
        bool more = true;
        while (more && scan < end)
        {
            if (gap < gaps.Count && gaps[gap].AtScan == scan)
            {
                more = gaps[gap].Lost is { } lost ? visitor.Lost(lost, GapCause.File) : visitor.Broken(GapCause.Reset);
                gap++;
                continue;
            }

            long until = Math.Min(end, scan + ScansPerBlock);
            if (gap < gaps.Count) until = Math.Min(until, gaps[gap].AtScan);
            more = visitor.Scans(words.AsSpan((int)scan * channels, (int)(until - scan) * channels));
            scan = until;
        }
    }
}
