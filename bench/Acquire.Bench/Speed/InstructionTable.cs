using System.Diagnostics;
using System.Globalization;
using System.Text.RegularExpressions;

namespace Acquire.Bench.Speed;

/// <summary>Instructions that the engine takes for a scan, counted by callgrind (valgrind) in the program compiled ahead of time: the same on a busy machine.</summary>
/// <remarks>Two runs, one of which goes twice more through the words: their difference is what a scan takes when all has been learnt.</remarks>
internal static partial class InstructionTable
{
    private const string Program = "Acquire.Bench.Aot";
    private const int Megabytes = 8;
    private const int FewPasses = 2;
    private const int ManyPasses = 4;
    private const string All = "PROGRAM TOTALS";
    private const string Singly = "Acquire_Acquire_SweepEngine__TakeSingly";

    // A method with what the compiler has put into it counts for the room that it stands in; what is left are copies and clearing.
    private static readonly (string Name, string Prefix)[] Rooms =
    [
        ("Capture", "Acquire_Acquire_Capture_"),
        ("Sweeps", "Acquire_Acquire_Sweeps_"),
        ("Columns", "Acquire_Acquire_Columns_"),
        ("Traces", "Acquire_Acquire_Traces_"),
        ("engine itself", "Acquire_Acquire_SweepEngine_"),
    ];

    public static void Run(TextWriter output)
    {
        string folder = Directory.CreateTempSubdirectory("acquire-bench-").FullName;
        try
        {
            string program = Publish(folder);
            output.WriteLine(string.Create(CultureInfo.InvariantCulture,
                $"Instructions a scan, for x86-64-v3 compiled ahead of time, counted by callgrind; calls of 4,096 scans, {Megabytes} MiB. .NET {Environment.Version}."));
            output.WriteLine();
            output.WriteLine($"| scans per column | placement | all | {string.Join(" | ", Rooms.Select(r => r.Name))} | copies | of all: scan by scan, at turning points |");
            output.WriteLine($"| --- | --- | --- | {string.Concat(Enumerable.Repeat("--- | ", Rooms.Length))}--- | --- |");
            foreach (int perColumn in (int[])[2, 20, 200])
                foreach (string placement in (string[])["direct", "fitted"]) Line(output, folder, program, perColumn, placement);
        }
        finally
        {
            Directory.Delete(folder, recursive: true);
        }
    }

    // With its symbols, without what is known of its source lines: callgrind reads the former only.
    private static string Publish(string folder)
    {
        string program = Path.Combine(folder, "published", Program);
        Call("dotnet", "", "publish", Path.Combine(Repository.Folder, "bench", Program), "-c", "Release", "-r", "linux-x64", "--artifacts-path", Path.Combine(folder, "artifacts"),
            "-o", Path.GetDirectoryName(program)!, "-nodeReuse:false", "-v", "quiet", "-p:PublishAot=true", "-p:IlcInstructionSet=x86-64-v3", "-p:OptimizationPreference=Speed", "-p:CppCompilerAndLinker=gcc", "-p:StripSymbols=false");
        Call("strip", "", "--strip-debug", program);
        return program;
    }

    private static void Line(TextWriter output, string folder, string program, int perColumn, string placement)
    {
        (Dictionary<string, long> own, Dictionary<string, long> whole) few = Counts(folder, program, perColumn, placement, FewPasses), many = Counts(folder, program, perColumn, placement, ManyPasses);
        double scans = (ManyPasses - FewPasses) * ((double)Megabytes * (1 << 20) / (2 * sizeof(ushort)));
        double all = Of(few.own, many.own, name => name == All), rest = all;
        var rooms = new List<string>();
        foreach ((_, string prefix) in Rooms)
        {
            double room = Of(few.own, many.own, name => name.StartsWith(prefix, StringComparison.Ordinal));
            rest -= room;
            rooms.Add(Text(room));
        }

        output.WriteLine($"| {perColumn} | {placement} | {Text(all)} | {string.Join(" | ", rooms)} | {Text(rest)} | {Text(Of(few.whole, many.whole, name => name == Singly))} |");

        double Of(Dictionary<string, long> first, Dictionary<string, long> second, Func<string, bool> counts) =>
            (second.Where(m => counts(m.Key)).Sum(m => m.Value) - first.Where(m => counts(m.Key)).Sum(m => m.Value)) / scans;
    }

    private static string Text(double instructions) => instructions.ToString("0.0", CultureInfo.InvariantCulture);

    // Of each method its own instructions, and those with all that it calls.
    private static (Dictionary<string, long> Own, Dictionary<string, long> Whole) Counts(string folder, string program, int perColumn, string placement, int passes)
    {
        string counts = Path.Combine(folder, "counts");
        Call("valgrind", new string('\n', passes), "--tool=callgrind", $"--callgrind-out-file={counts}", program, Megabytes.ToString(CultureInfo.InvariantCulture), perColumn.ToString(CultureInfo.InvariantCulture), placement);
        return (Read(Call("callgrind_annotate", "", "--threshold=100", counts)), Read(Call("callgrind_annotate", "", "--threshold=100", "--inclusive=yes", counts)));
    }

    private static Dictionary<string, long> Read(string listing)
    {
        var counts = new Dictionary<string, long>(StringComparer.Ordinal);
        foreach (Match line in ListingLine().Matches(listing))
        {
            string name = line.Groups["name"].Value;
            counts[name] = counts.GetValueOrDefault(name) + long.Parse(line.Groups["count"].Value, NumberStyles.AllowThousands, CultureInfo.InvariantCulture);
        }

        return counts;
    }

    private static string Call(string program, string input, params string[] arguments)
    {
        ProcessStartInfo start = new(program, arguments) { RedirectStandardInput = true, RedirectStandardOutput = true, RedirectStandardError = true };
        // The runtime reserves more than valgrind has to give.
        start.Environment["DOTNET_GCHeapHardLimit"] = "0x10000000";
        using Process process = Process.Start(start)!;
        Task<string> errors = process.StandardError.ReadToEndAsync();
        process.StandardInput.Write(input);
        process.StandardInput.Close();
        string said = process.StandardOutput.ReadToEnd();
        process.WaitForExit();
        return process.ExitCode == 0 ? said : throw new InvalidOperationException($"{program} {string.Join(' ', arguments)} ended with {process.ExitCode}: {errors.Result}{said}");
    }

    [GeneratedRegex(@"^\s*(?<count>[\d,]+) \([^)]*\)\s+(\S*:)?(?<name>[^\[\n]+?)\s*(\[.*)?$", RegexOptions.Multiline | RegexOptions.ExplicitCapture, matchTimeoutMilliseconds: 10_000)]
    private static partial Regex ListingLine();
}
