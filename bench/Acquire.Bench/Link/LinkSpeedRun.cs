using System.Diagnostics;
using System.Globalization;
using Acquire.Link;

namespace Acquire.Bench.Link;

/// <summary>Decoding against copying, slice by slice in turns, so that other work on the machine hits both alike; medians.</summary>
internal static class LinkSpeedRun
{
    private const int Bytes = 256 << 20;
    // Larger ones are interrupted by other work, smaller ones stay in a cache: a copy of them is faster than one of the whole.
    private const int Slice = 2 << 20;
    private const int Rounds = 4;

    /// <summary>Measures all payloads and prints a table.</summary>
    public static void Run()
    {
        Console.WriteLine("256 MiB from memory; copy and decoder by turns in slices of 2 MiB, medians; the ratio is time over the copy's time");
        Console.WriteLine();
        Console.WriteLine("| codes | frame | copy GB/s | decoder GB/s | ratio | million scans/s | B allocated |");
        Console.WriteLine("| --- | --- | --- | --- | --- | --- | --- |");
        foreach (int frame in new[] { 256, 1_024, 4_096 })
            foreach (LinkPayload payload in Enum.GetValues<LinkPayload>()) Row(payload, frame);
    }

    private static void Row(LinkPayload payload, int frameBytes)
    {
        byte[] bytes = LinkBytes.Of(payload, frameBytes, Bytes);
        byte[] copy = new byte[Bytes];
        var decoder = new LinkDecoder(new LinkBytes.Listener());
        var copying = new List<double>(Rounds * Bytes / Slice);
        var decoding = new List<double>(Rounds * Bytes / Slice);

        // The first round pays for compilation and first touches.
        long allocated = 0;
        for (int round = 0; round <= Rounds; round++)
        {
            long before = GC.GetAllocatedBytesForCurrentThread();
            for (int at = 0; at + Slice <= Bytes; at += Slice)
            {
                long start = Stopwatch.GetTimestamp();
                bytes.AsSpan(at, Slice).CopyTo(copy.AsSpan(at));
                long between = Stopwatch.GetTimestamp();

                // Half of the memory away: not what the copy has just brought into a cache.
                decoder.Take(bytes.AsSpan((at + (Bytes / 2)) % Bytes, Slice));
                long end = Stopwatch.GetTimestamp();
                if (round == 0) continue;
                copying.Add(Stopwatch.GetElapsedTime(start, between).TotalSeconds);
                decoding.Add(Stopwatch.GetElapsedTime(between, end).TotalSeconds);
            }

            if (round > 0) allocated += GC.GetAllocatedBytesForCurrentThread() - before;
        }

        copying.Sort();
        decoding.Sort();
        double copyTime = copying[copying.Count / 2];
        double decodeTime = decoding[decoding.Count / 2];
        double scans = decoder.ScansDelivered / (double)decoder.BytesTaken * Slice;
        Console.WriteLine(string.Create(
            CultureInfo.InvariantCulture,
            $"| {payload} | {frameBytes:#,0} | {Slice / copyTime / 1e9:0.0} | {Slice / decodeTime / 1e9:0.00} | {decodeTime / copyTime:0.00} | {scans / decodeTime / 1e6:#,0} | {allocated} |"));
    }
}
