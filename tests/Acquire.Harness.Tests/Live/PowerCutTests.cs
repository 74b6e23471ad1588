using System.Diagnostics;
using System.Text.RegularExpressions;
using Acquire.Harness.Tests.Commands;
using Acquire.Harness.Tests.Doubles;

namespace Acquire.Harness.Tests.Live;

/// <summary>What <c>capture --sync</c> promises against a power cut, by the order of its calls to the system.</summary>
public sealed partial class PowerCutTests
{
    private enum Call
    {
        WriteData,
        FlushData,
        WriteMetadata,
        FlushMetadata,
        RenameMetadata,
        FlushFolder,
    }

    [Fact]
    public void Sync_EveryStepIsOnTheDiskBeforeTheOneThatNeedsIt()
    {
        Call[] calls = [.. Trace("--sync")];

        int[] renames = [.. Enumerable.Range(0, calls.Length).Where(i => calls[i] == Call.RenameMetadata)];
        Assert.True(renames.Length >= 3, $"Metadata was renamed {renames.Length} times.");
        foreach (int rename in renames)
        {
            // The metadata's content before its name, its name before anything else.
            Assert.Equal(Call.FlushMetadata, calls.Take(rename).Last(c => c is Call.WriteMetadata or Call.FlushMetadata));
            Assert.Equal(Call.FlushFolder, calls[rename + 1]);

            // What it speaks of lies on the disk: every scan written before it.
            if (calls.Take(rename).Contains(Call.WriteData))
                Assert.Equal(Call.FlushData, calls.Take(rename).Last(c => c is Call.WriteData or Call.FlushData));
        }

        // The dataset's own name, too, before the first scan; and the last scan before the end.
        int firstScan = Array.IndexOf(calls, Call.WriteData);
        Assert.Equal([Call.FlushFolder, Call.FlushFolder], calls.Take(firstScan).Where(c => c is Call.FlushFolder).Take(2));
        Assert.Equal(Call.FlushData, calls.Last(c => c is Call.WriteData or Call.FlushData));
    }

    [Fact]
    public void WithoutSync_NoScanWaitsForTheDiskBeforeTheEnd()
    {
        Call[] calls = [.. Trace()];

        int last = Array.FindLastIndex(calls, c => c == Call.WriteData);
        Assert.True(last > 0);
        Assert.DoesNotContain(Call.FlushData, calls.Take(last));
        Assert.DoesNotContain(Call.FlushFolder, calls);
    }

    private static IEnumerable<Call> Trace(params string[] more)
    {
        using ScratchFolder folder = new();
        string log = Path.Combine(folder.Path, "calls.log");
        string[] args =
        [
            "-f", "-y", "-s", "0", "-o", log, "-e", "trace=fsync,fdatasync,rename,renameat,renameat2,write,pwrite64,pwritev",
            "dotnet", Path.Combine(AppContext.BaseDirectory, "Acquire.Harness.dll"), "capture", "synth:gaps?seed=3", "--out", "x", "--flush", "10ms", .. more,
        ];
        Assert.SkipUnless(Run(folder.Path, args), "strace is not installed, or this user may not trace.");

        // Names in the log are real ones, a folder for temporary files may be a link.
        string here = Regex.Escape(Path.GetFileName(folder.Path));
        foreach (string line in File.ReadLines(log))
        {
            Match call = Line().Match(line);
            if (!call.Success) continue;
            string name = call.Groups[1].Value, rest = call.Groups[2].Value;
            bool flush = name is "fsync" or "fdatasync", write = name.Contains("write", StringComparison.Ordinal), rename = name.StartsWith("rename", StringComparison.Ordinal);
            if (Regex.IsMatch(rest, here + @"/x\.sigmf-data>")) yield return flush ? Call.FlushData : Call.WriteData;
            else if (rename && rest.Contains("x.sigmf-meta", StringComparison.Ordinal)) yield return Call.RenameMetadata;
            else if (flush && Regex.IsMatch(rest, here + ">")) yield return Call.FlushFolder;
            else if (Regex.IsMatch(rest, here + @"/\.acquire-[^/]*\.part>") && (flush || write)) yield return flush ? Call.FlushMetadata : Call.WriteMetadata;
        }
    }

    private static bool Run(string folder, string[] args)
    {
        try
        {
            using Process process = Process.Start(new ProcessStartInfo("strace", args) { WorkingDirectory = folder, RedirectStandardOutput = true, RedirectStandardError = true })!;
            process.StandardOutput.ReadToEnd();
            process.WaitForExit();
            return process.ExitCode == 0;
        }
        catch (System.ComponentModel.Win32Exception)
        {
            return false;
        }
    }

    [GeneratedRegex(@"^\d+\s+(\w+)\((.*)$", RegexOptions.None, matchTimeoutMilliseconds: 1_000)]
    private static partial Regex Line();
}
