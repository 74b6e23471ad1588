using System.Diagnostics;
using System.Globalization;

namespace Acquire.Bench.Speed;

/// <summary>The engine compiled ahead of time, for processors with and without vectors of 256 bits, beside the JIT's.</summary>
internal static class AotTable
{
    private const string Program = "Acquire.Bench.Aot";

    public static void Run(TextWriter output, int megabytes, int rounds)
    {
        string folder = Directory.CreateTempSubdirectory("acquire-bench-").FullName;
        try
        {
            string project = Path.Combine(Repository.Folder, "bench", Program), jit = Path.Combine(folder, "jit");
            Call("bash", Path.Combine(Repository.Folder, "src", "Acquire.Harness", "Aot", "publish"), folder, project);
            Call("dotnet", "publish", project, "-c", "Release", "--artifacts-path", Path.Combine(folder, "artifacts"), "-o", jit, "-v", "quiet", "-nodeReuse:false");
            output.WriteLine(string.Create(CultureInfo.InvariantCulture,
                $"The same source as programs of their own, published as the command is; default setup, {megabytes} MiB of 12-bit scans in calls of 4,096. Programs alternate; medians of {rounds} rounds, ratios with the interval that holds the median with 95 %. .NET {Environment.Version}."));
            output.WriteLine();
            output.WriteLine("| scans per column | what | JIT, M scans/s | ahead of time, x86-64-v3 | ahead of time, x86-64-v2 | v3 / JIT | v2 / JIT |");
            output.WriteLine("| --- | --- | --- | --- | --- | --- | --- |");
            foreach (int perColumn in (int[])[2, 20, 200])
                foreach (string what in (string[])["read", "direct", "fitted"]) Line(output, folder, perColumn, what, megabytes, rounds);
        }
        finally
        {
            Directory.Delete(folder, recursive: true);
        }
    }

    private static void Line(TextWriter output, string folder, int perColumn, string what, int megabytes, int rounds)
    {
        string[] arguments = [megabytes.ToString(CultureInfo.InvariantCulture), perColumn.ToString(CultureInfo.InvariantCulture), what];
        using ChildLoop jit = new("dotnet", [Path.Combine(folder, "jit", Program + ".dll"), .. arguments]);
        using ChildLoop wide = new(Path.Combine(folder, "x86-64-v3", Program), arguments);
        using ChildLoop narrow = new(Path.Combine(folder, "x86-64-v2", Program), arguments);
        var ways = new Paired(((long)megabytes << 20) / (2 * sizeof(ushort)), rounds);
        ways.Add("jit", jit.Run);
        ways.Add("v3", wide.Run);
        ways.Add("v2", narrow.Run);
        ways.Run();
        string name = what == "read" ? "reading alone" : what;
        output.WriteLine($"| {perColumn} | {name} | {ways.Rate("jit")} | {ways.Rate("v3")} | {ways.Rate("v2")} | {ways.Ratio("v3", "jit")} | {ways.Ratio("v2", "jit")} |");
    }

    private static void Call(string program, params string[] arguments)
    {
        using Process process = Process.Start(new ProcessStartInfo(program, arguments) { RedirectStandardOutput = true })!;
        string said = process.StandardOutput.ReadToEnd();
        process.WaitForExit();
        if (process.ExitCode != 0) throw new InvalidOperationException($"{program} {string.Join(' ', arguments)} ended with {process.ExitCode}: {said}");
    }
}
