using System.Diagnostics;
using System.Globalization;

namespace Acquire.Bench.Speed;

/// <summary>Writes what <see cref="SpeedTable"/> measures to bench/results and into the README, where a test compares the two.</summary>
internal static class PublishedSpeed
{
    private const string Begin = "<!-- speed: written by publish-speed -->";
    private const string End = "<!-- end of speed -->";

    // What people wrote about the figures stays below them.
    private const string Remarks = "\n## What bounds it";

    public static void Run(int megabytes, int rounds)
    {
        Processor processor = Processor.Read();
        string name = Path.Combine("bench", "results", processor.FolderName, "speed.md").Replace('\\', '/'), path = Path.Combine(Repository.Folder, name);
        string load = File.Exists("/proc/loadavg") ? File.ReadAllText("/proc/loadavg").Split(' ')[0] : "not known";
        using StringWriter tables = new() { NewLine = "\n" };
        IReadOnlyList<string> rows = SpeedTable.Run(tables, megabytes, rounds);

        string old = File.Exists(path) ? File.ReadAllText(path) : "";
        int remarks = old.IndexOf(Remarks, StringComparison.Ordinal);
        string block = Block(processor, load, name, rows);
        Directory.CreateDirectory(Path.GetDirectoryName(path)!);
        File.WriteAllText(path,
            "# The engine against reading its input alone\n\n" +
            $"Commit {Said("git", "-C", Repository.Folder, "rev-parse", "--short", "HEAD")}, SDK {Said("dotnet", "--version")}, {processor.Name}, {Environment.ProcessorCount} cores; load {load} at the start; power and clock are not known where the machine is a virtual one. " +
            $"Taken anew by `dotnet run -c Release --project bench/Acquire.Bench -- publish-speed`; these are of `publish-speed {megabytes} {rounds}`.\n\n" +
            $"{tables}\n## In the README\n\n{block.Replace($"({name})", "(speed.md)", StringComparison.Ordinal)}\n" + (remarks < 0 ? "" : old[remarks..]));
        Replace(Path.Combine(Repository.Folder, "README.md"), block);
        Console.WriteLine($"Written: {name} and the README's table.");
    }

    private static string Block(Processor processor, string load, string name, IReadOnlyList<string> rows) =>
        $"""
        {Begin}
        Millions of scans a second on one core of {processor.Name}, 12-bit codes, default setup, everything on, load {load} at the start
        ([all of them, and what bounds them]({name})). `dotnet run -c Release --project bench/Acquire.Bench -- publish-speed` measures yours and writes this.

        | scans per column | reading the words alone | plain loop in C | engine, direct | engine, fitted |
        | --- | --- | --- | --- | --- |
        {string.Join('\n', rows)}
        {End}
        """;

    private static void Replace(string path, string block)
    {
        string text = File.ReadAllText(path);
        int begin = text.IndexOf(Begin, StringComparison.Ordinal), end = text.IndexOf(End, StringComparison.Ordinal);
        if (begin < 0 || end < begin) throw new InvalidOperationException($"{path} lacks the lines {Begin} and {End}; put them round the table.");
        File.WriteAllText(path, text[..begin] + block + text[(end + End.Length)..]);
    }

    private static string Said(string program, params string[] arguments)
    {
        using Process process = Process.Start(new ProcessStartInfo(program, arguments) { RedirectStandardOutput = true })!;
        string said = process.StandardOutput.ReadToEnd().Trim();
        process.WaitForExit();
        return said;
    }
}
