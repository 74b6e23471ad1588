using System.Globalization;

namespace Acquire.Bench.Replaying;

/// <summary>Replay and inspect of a long recording in the file cache, against reading the same file with the platform's own file class.</summary>
internal static class ReplaySpeedRun
{
    private const int UsualRounds = 3;

    /// <summary>Writes a recording, measures, prints a table, deletes the recording.</summary>
    /// <param name="arguments">MiB of the recording, a folder for it, the command's program, rounds; each may be left away from the end.</param>
    public static void Run(string[] arguments)
    {
        int megabytes = arguments.Length > 0 ? int.Parse(arguments[0], CultureInfo.InvariantCulture) : 4_096;
        string folder = arguments.Length > 1 ? arguments[1] : Path.GetTempPath();
        string program = arguments.Length > 2 ? arguments[2] : Path.Combine(AppContext.BaseDirectory, "Acquire.Harness");
        int rounds = arguments.Length > 3 ? int.Parse(arguments[3], CultureInfo.InvariantCulture) : UsualRounds;
        if (!Directory.Exists(folder))
        {
            Console.Error.WriteLine($"{folder} is no folder; give one that has room for the recording and its results.");
            Environment.ExitCode = 2;
            return;
        }

        using LargeRecording recording = new(folder, megabytes);
        ReplayStages stages = new(recording);
        stages.PlatformSeconds(); // brings the file into the cache
        double platform = Median(rounds, stages.PlatformSeconds);
        Console.WriteLine(string.Create(CultureInfo.InvariantCulture,
            $"{megabytes} MiB in the file cache, 2 channels, 12 bits, 20 scans a column; medians of {rounds} runs; .NET {Environment.Version}, {Environment.ProcessorCount} processors"));
        Console.WriteLine();
        Console.WriteLine("| what | s | against the platform's file class | peak memory MiB |");
        Console.WriteLine("| --- | --- | --- | --- |");
        Row("the platform's file class", platform, platform);
        Row("the recording's reader", Median(rounds, () => stages.Seconds()), platform);
        Row("reader and engine", Median(rounds, () => stages.Seconds(ReplayStages.Engine())), platform);
        Row("reader and survey of the channels", Median(rounds, () => stages.Seconds(ReplayStages.Survey())), platform);
        Row("reader and likeness of the channels", Median(rounds, () => stages.Seconds(ReplayStages.Alike())), platform);
        Row("`replay`", program, rounds, platform, "replay", recording.Name);
        Row("`replay --json`", program, rounds, platform, "replay", recording.Name, "--json", recording.PathOf("replay.json"));
        Row("`replay --jsonl`", program, rounds, platform, "replay", recording.Name, "--jsonl", recording.PathOf("replay.jsonl"));
        Row("`replay --csv --sweep all`", program, rounds, platform, "replay", recording.Name, "--csv", recording.PathOf("replay.csv"), "--sweep", "all");
        Row("`inspect --json`", program, rounds, platform, "inspect", recording.Name, "--json", recording.PathOf("inspect.json"));
    }

    private static void Row(string what, double seconds, double platform) =>
        Console.WriteLine(string.Create(CultureInfo.InvariantCulture, $"| {what} | {seconds:0.00} | {seconds / platform:0.00} | |"));

    private static void Row(string what, string program, int rounds, double platform, params string[] arguments)
    {
        // Each run writes its results into a new file.
        CommandTiming[] runs = new CommandTiming[rounds];
        for (int r = 0; r < rounds; r++)
        {
            runs[r] = CommandTiming.Of(program, arguments);
            foreach (string result in arguments.Skip(3).Where(File.Exists)) File.Delete(result);
        }

        Array.Sort(runs, (a, b) => a.Seconds.CompareTo(b.Seconds));
        CommandTiming median = runs[rounds / 2];
        Console.WriteLine(string.Create(CultureInfo.InvariantCulture,
            $"| {what} | {median.Seconds:0.00} | {median.Seconds / platform:0.00} | {runs.Max(r => r.PeakBytes) / (double)(1 << 20):0} |"));
    }

    private static double Median(int rounds, Func<double> run)
    {
        double[] seconds = new double[rounds];
        for (int r = 0; r < rounds; r++) seconds[r] = run();
        Array.Sort(seconds);
        return seconds[rounds / 2];
    }
}
