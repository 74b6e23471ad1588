using System.Diagnostics;
using System.Text;
using System.Text.Json;
using Acquire.Harness.Shell;
using Acquire.Harness.Tests.Doubles;
using Acquire.Recordings;

namespace Acquire.Harness.Tests.Commands;

/// <summary>What replay writes, on recordings of a circuit simulator: four whole sweeps of 0.4 s and the start of a fifth.</summary>
public sealed class ReplayTests : IDisposable
{
    private static readonly string[] Bits = ["--bits", "12"];
    private static readonly string[] Volts = ["--ramp-volts=-5.5,5.5", "--vertical-volts=0.1,-1.1"];
    private static readonly string[] Scales = [.. Volts, "--axis", "5kHz,55kHz", "--level", "0V=-100dB,-1V=0dB"];

    private readonly ScratchFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    [Fact]
    public void Replay_NoOutput_PrintsSweepsAndWhereEveryScanWent()
    {
        CommandResult result = AcquireCommand.Run(["replay", "through", .. Bits]).AssertDone();

        Assert.Contains("4 of them complete", result.Output, StringComparison.Ordinal);
        Assert.Contains("190000", result.Output, StringComparison.Ordinal);
        Assert.Contains("codes rise", result.Output, StringComparison.Ordinal);
        Assert.Empty(result.Error);
    }

    [Fact]
    public void Replay_Redirected_HasNoControlCodes()
    {
        CommandResult result = AcquireCommand.Run(["replay", "through", .. Bits, .. Scales, "--marker", "peak"]).AssertDone();

        Assert.DoesNotContain(result.Output, c => char.IsControl(c) && c != '\n');
    }

    [Fact]
    public void Replay_JsonLines_AreOnePerSweepInOrderAndNothingElse()
    {
        JsonElement[] sweeps = Lines("--unit", "code");

        Assert.Equal(Enumerable.Range(0, sweeps.Length), sweeps.Select(sweep => sweep.GetProperty("number").GetInt32()));
        JsonElement[] complete = [.. sweeps.Where(sweep => sweep.GetProperty("complete").GetBoolean())];
        Assert.Equal(4, complete.Length);
        foreach (JsonElement sweep in complete)
        {
            Assert.Equal("code", sweep.GetProperty("unit").GetString());
            Assert.Equal("fitted", sweep.GetProperty("placement").GetString());
            Assert.Equal(1_000, sweep.GetProperty("columns").GetInt32());
            foreach (string member in (string[])["count", "peak", "minimum", "average", "rms", "sample"])
                Assert.Equal(1_000, sweep.GetProperty(member).GetArrayLength());
            long scans = sweep.GetProperty("endScan").GetInt64() - sweep.GetProperty("startScan").GetInt64();
            Assert.InRange(scans, 39_900, 40_100); // 0.4 s at 100 000 scans a second
            Assert.InRange(sweep.GetProperty("count").EnumerateArray().Sum(count => count.GetInt64()), scans - 200, scans);
        }
    }

    [Fact]
    public void Replay_JsonLines_NameTheUnitThatTheScalesAllow()
    {
        Assert.All(Lines(), sweep => Assert.Equal("code", sweep.GetProperty("unit").GetString()));
        Assert.All(Lines(Volts), sweep => Assert.Equal("V", sweep.GetProperty("unit").GetString()));
        Assert.All(Lines(Scales), sweep => Assert.Equal("dB", sweep.GetProperty("unit").GetString()));
    }

    [Fact]
    public void Replay_PeakOfFallingVolts_IsTheHighestOnTheScreen()
    {
        JsonElement sweep = Lines(Scales).First(line => line.GetProperty("complete").GetBoolean());

        // The vertical falls from 0 V (-100 dB) to -1 V (0 dB): up on the screen is down in volts.
        for (int column = 0; column < 1_000; column++)
            Assert.True(sweep.GetProperty("peak")[column].GetDouble() >= sweep.GetProperty("minimum")[column].GetDouble());
    }

    [Fact]
    public void Replay_AverageOfADomain_IsInEverySweepsAverageToo()
    {
        string[] power = [.. Scales, "--detector", "average-power"];

        JsonElement sweep = Lines(power).First(line => line.GetProperty("complete").GetBoolean());
        string[] records = AcquireCommand.Run(["replay", "through", "--csv", "-", .. Bits, .. power]).AssertDone().Output.TrimEnd().Split('\n');

        // In level RMS is the level of the mean power, so the two are one number.
        Assert.Equal(sweep.GetProperty("rms").GetRawText(), sweep.GetProperty("average").GetRawText());
        Assert.NotEqual(Lines(Scales)[0].GetProperty("average").GetRawText(), Lines(power)[0].GetProperty("average").GetRawText());
        Assert.All(records[1..], record => Assert.Equal(record.Split(',')[5], record.Split(',')[4]));
    }

    [Fact]
    public void Replay_Csv_HasOneRecordPerColumnOfTheLastCompleteSweep()
    {
        CommandResult result = AcquireCommand.Run(["replay", "through", .. Bits, .. Scales, "--csv", "-"]).AssertDone();

        string[] records = result.Output.Split("\r\n");
        Assert.Equal("positionHz,count,peak,minimum,average,rms,sample,unit,sweep,vertical", records[0]);
        Assert.Equal(1_002, records.Length); // header, 1,000 columns, and nothing behind the last line end
        Assert.Empty(records[^1]);
        string[] fields = records[1].Split(',');
        Assert.Equal(("5025", "dB"), (fields[0], fields[7])); // centre of the first of 1,000 columns of 50 Hz
    }

    [Fact]
    public void Replay_SweepByNumber_IsThatSweep()
    {
        CommandResult result = AcquireCommand.Run(["replay", "through", .. Bits, "--sweep", "2", "--csv", "-"]).AssertDone();

        Assert.All(result.Output.Split("\r\n")[1..^1], record => Assert.Equal("2", record.Split(',')[^2]));
    }

    [Fact]
    public void Replay_SweepThatIsNotThere_IsOneAndLeavesNothing()
    {
        string csv = Path.Combine(_folder.Path, "out.csv");

        AcquireCommand.Run(["replay", "through", .. Bits, "--sweep", "99", "--csv", csv]).AssertFailed(ExitCode.CheckFailed, "99");
        Assert.Empty(_folder.Names);
    }

    [Fact]
    public void Replay_AllSweepsAsCsv_HoldsEverySweep()
    {
        CommandResult result = AcquireCommand.Run(["replay", "through", .. Bits, "--columns", "10", "--sweep", "all", "--csv", "-"]).AssertDone();

        int sweeps = Lines().Length;
        Assert.Equal((10 * sweeps) + 2, result.Output.Split("\r\n").Length);
    }

    [Fact]
    public void Replay_PartialAt_ShowsTheSweepUnderWayToTheLeftAndTheOneBeforeToTheRight()
    {
        // The third sweep begins at scan 88 000 and takes 40 000 scans: at scan 100 000 it has covered three tenths.
        CommandResult result = AcquireCommand.Run(["replay", "through", .. Bits, "--partial-at", "100000", "--csv", "-"]).AssertDone();

        long[] sweepOf = [.. result.Output.Split("\r\n")[1..^1].Select(record => long.Parse(record.Split(',')[^2]))];
        int front = Array.FindLastIndex(sweepOf, sweep => sweep == sweepOf[0]);
        Assert.InRange(front, 297, 302);
        Assert.All(sweepOf[..(front + 1)], sweep => Assert.Equal(sweepOf[^1] + 1, sweep));
        Assert.All(sweepOf[(front + 1)..], sweep => Assert.Equal(sweepOf[^1], sweep));
    }

    [Fact]
    public void Replay_Sheets_ArePngAndSvg()
    {
        string png = Path.Combine(_folder.Path, "a.png"), svg = Path.Combine(_folder.Path, "a.svg"), history = Path.Combine(_folder.Path, "h.png");

        CommandResult result = AcquireCommand.Run(
            ["replay", "bandstop", .. Bits, .. Scales, "--bandwidth", "-3.01", "--png", png, "--svg", svg, "--history-png", history]).AssertDone();

        Assert.Contains(png, result.Output, StringComparison.Ordinal);
        foreach (string picture in (string[])[png, history])
            Assert.Equal([0x89, .. "PNG\r\n\u001a\n"u8], File.ReadAllBytes(picture)[..8]); // PNG specification, section 5.2
        System.Xml.Linq.XDocument document = System.Xml.Linq.XDocument.Load(svg);
        Assert.Equal("svg", document.Root!.Name.LocalName);
    }

    [Fact]
    public void Replay_SetupBesideTheRecording_IsLoadedByItself()
    {
        foreach (string ending in (string[])[".sigmf-data", ".sigmf-meta"])
            File.Copy(Path.Combine(AcquireCommand.Data, "through" + ending), Path.Combine(_folder.Path, "copy" + ending));
        Setup setup = new() { Scan = new Capture.ScanFormat { Bits = 12, ScanRateHz = 100_000 }, Columns = new Columns.ColumnOptions { ColumnCount = 123 } };
        Recordings.SetupFile.Save(Path.Combine(_folder.Path, "copy.setup.json"), setup);

        CommandResult result = AcquireCommand.RunIn(_folder.Path, "replay", "copy", "--jsonl").AssertDone();

        Assert.Contains("\"columns\":123,", result.Output, StringComparison.Ordinal);
    }

    [Fact]
    public void Replay_MarkOfTheDeviceInTheRecording_HoldsForTheSweepsThatBeginFromThereOn()
    {
        const long markedAt = 60_000;
        ushort[] scans = System.Runtime.InteropServices.MemoryMarshal.Cast<byte, ushort>(File.ReadAllBytes(Path.Combine(AcquireCommand.Data, "through.sigmf-data"))).ToArray();
        using (RecordingWriter writer = new(Path.Combine(_folder.Path, "marked"), new() { ScanRateHz = 100_000, Bits = 12 }))
        {
            writer.Write(scans);
            writer.Annotate(new RecordingAnnotation(markedAt, 1, Mark: 7));
            writer.Complete();
        }

        string[] lines = AcquireCommand.RunIn(_folder.Path, "replay", "marked", "--jsonl", "-").AssertDone().Output.Split('\n', StringSplitOptions.RemoveEmptyEntries);

        Assert.True(lines.Length >= 5);
        foreach (string line in lines)
        {
            JsonElement sweep = JsonDocument.Parse(line).RootElement;
            bool after = sweep.GetProperty("startScan").GetInt64() >= markedAt;
            Assert.Equal(after, sweep.TryGetProperty("mark", out JsonElement mark) && mark.GetInt32() == 7);
        }
    }

    [Fact]
    public void Replay_Pace_TakesItsTime()
    {
        Stopwatch clock = Stopwatch.StartNew();

        AcquireCommand.Run(["replay", "through", .. Bits, "--partial-at", "50000", "--pace", "0.5"]).AssertDone();

        Assert.True(clock.Elapsed >= TimeSpan.FromSeconds(1), $"50 000 scans of a recording of 100 000 a second at half pace took {clock.Elapsed}.");
    }

    [Fact]
    public void Replay_RecordingLargerThanTheHeap_IsStreamed()
    {
        const long heapBytes = 48 << 20;
        byte[] once = File.ReadAllBytes(Path.Combine(AcquireCommand.Data, "through.sigmf-data"));
        using (FileStream data = File.Create(Path.Combine(_folder.Path, "long.sigmf-data")))
            while (data.Length <= heapBytes) data.Write(once);
        File.Copy(Path.Combine(AcquireCommand.Data, "through.sigmf-meta"), Path.Combine(_folder.Path, "long.sigmf-meta"));

        CommandResult result = AcquireCommand.RunWithHeap(heapBytes, _folder.Path, ["replay", "long", .. Bits, .. Scales, "--average", "4", "--json", "-"]);

        Assert.Contains("\"sweepsUsed\":4,", result.AssertDone().Output, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Replay_StoppedByTheUser_Is130AndLeavesNothingHalfWritten()
    {
        if (OperatingSystem.IsWindows()) Assert.Skip("There is no signal to send on this system.");
        string csv = Path.Combine(_folder.Path, "out.csv");
        using Process process = AcquireCommand.Start(AcquireCommand.Data, ["replay", "through", .. Bits, "--pace", "0.01", "--sweep", "all", "--csv", csv]);
        CancellationToken cancel = TestContext.Current.CancellationToken;

        // The output is open, under another name, once the run has begun.
        using FileSystemWatcher watcher = new(_folder.Path) { EnableRaisingEvents = true };
        while (!_folder.Names.Any()) watcher.WaitForChanged(WatcherChangeTypes.All, 100);
        using Process kill = Process.Start("kill", ["-INT", process.Id.ToString()]);
        await process.WaitForExitAsync(cancel);

        Assert.Equal(ExitCode.Stopped, process.ExitCode);
        Assert.Equal("acquire: stopped\n", await process.StandardError.ReadToEndAsync(cancel));
        Assert.Empty(_folder.Names);
    }

    [Fact]
    public async Task Replay_ReaderOfStandardOutputGoes_EndsWithoutAWord()
    {
        if (OperatingSystem.IsWindows()) Assert.Skip("Pipes end in another way on this system.");
        AcquireCommand.RunIn(_folder.Path, "synth", "through", "sweeps=40", "--out", "long").AssertDone();
        using Process process = AcquireCommand.Start(_folder.Path, ["replay", "long", "--jsonl"]);
        CancellationToken cancel = TestContext.Current.CancellationToken;

        await process.StandardOutput.ReadLineAsync(cancel);
        process.StandardOutput.Close();
        await process.WaitForExitAsync(cancel);

        Assert.Equal(ExitCode.Stopped, process.ExitCode);
        Assert.Empty(await process.StandardError.ReadToEndAsync(cancel));
    }

    private static JsonElement[] Lines(params string[] more)
    {
        string output = AcquireCommand.Run(["replay", "through", .. Bits, "--jsonl", "-", .. more]).AssertDone().Output;
        Assert.EndsWith("}\n", output, StringComparison.Ordinal);
        return [.. output.TrimEnd('\n').Split('\n').Select(line => JsonDocument.Parse(Encoding.UTF8.GetBytes(line)).RootElement)];
    }
}
