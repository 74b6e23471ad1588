using System.Diagnostics;
using System.Globalization;

namespace Acquire.Bench.Replaying;

/// <summary>How long one run of the command took and the most memory it held at once.</summary>
/// <param name="Seconds">From start to end of the process.</param>
/// <param name="PeakBytes">Its high-water mark of resident memory; 0 where the system does not say.</param>
internal readonly record struct CommandTiming(double Seconds, long PeakBytes)
{
    /// <summary>Runs the command to its end.</summary>
    /// <param name="program">Path of the program.</param>
    /// <param name="arguments">Its arguments.</param>
    /// <exception cref="InvalidOperationException">It ended with another code than 0.</exception>
    public static CommandTiming Of(string program, params string[] arguments)
    {
        long start = Stopwatch.GetTimestamp();
        using Process process = Process.Start(new ProcessStartInfo(program, arguments) { RedirectStandardOutput = true })!;
        Task<string> said = process.StandardOutput.ReadToEndAsync();
        long peak = 0;

        // The mark only rises, and is gone with the process: the last look counts.
        while (!process.WaitForExit(10)) peak = Math.Max(peak, HighWater(process.Id));
        double seconds = Stopwatch.GetElapsedTime(start).TotalSeconds;
        said.GetAwaiter().GetResult();
        return process.ExitCode == 0
            ? new CommandTiming(seconds, peak)
            : throw new InvalidOperationException($"{program} {string.Join(' ', arguments)} ended with {process.ExitCode}; run it by hand to see why.");
    }

    private static long HighWater(int id)
    {
        try
        {
            string? line = File.ReadLines($"/proc/{id}/status").FirstOrDefault(l => l.StartsWith("VmHWM:", StringComparison.Ordinal));
            return line is null ? 0 : long.Parse(line.AsSpan(6).Trim(" \tkB"), CultureInfo.InvariantCulture) << 10;
        }
        catch (IOException)
        {
            return 0;
        }
    }
}
