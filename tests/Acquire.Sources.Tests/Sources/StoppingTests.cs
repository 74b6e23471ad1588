using Acquire.Sources.Sessions;
using Acquire.Sources.Synthetic;
using Acquire.Sources.Tests.Doubles;

namespace Acquire.Sources.Tests.Sources;

/// <summary>How fast sources end, and what is left of them.</summary>
[Collection(nameof(Alone))]
public class StoppingTests(ITestOutputHelper output)
{
    private const int Tries = 200;
    private const string Bench = "bench in real time";
    private static readonly TimeSpan Limit = TimeSpan.FromMilliseconds(100);

    public static TheoryData<string> Sources => ["serial", "serial, platform's class", "stdin", "stream", "tcp", Bench, "own"];

    [Theory]
    [MemberData(nameof(Sources))]
    public void Stop_WhileTheSourceWaits_EndsWithin100MillisecondsIn95PerCentOfTries(string kind)
    {
        TimeSpan[] times = new TimeSpan[Tries];
        for (int i = 0; i < Tries; i++)
        {
            using ISourceRig rig = Create(kind);
            WatchedReceiver receiver = new();
            using SourceRun run = new(rig.Source, receiver);
            if (kind != Bench) rig.Feed([1, 2]);
            receiver.WaitForWords(2);
            run.WaitUntilAsleep();
            times[i] = run.Stop();
            Assert.Null(run.Fault);
        }

        Judge(kind, times);
    }

    [Theory]
    [InlineData("serial")]
    [InlineData("stdin")]
    [InlineData("tcp")]
    public void Stop_WhileTheSourceIsFlooded_EndsWithin100MillisecondsIn95PerCentOfTries(string kind)
    {
        ushort[] block = NumberedScans.From(0, 16_384);
        TimeSpan[] times = new TimeSpan[Tries];
        for (int i = 0; i < Tries; i++)
        {
            using ISourceRig rig = Create(kind);
            WatchedReceiver receiver = new() { Keeps = false };
            using SourceRun run = new(rig.Source, receiver);
            for (int b = 0; b < 20; b++) rig.Feed(block);
            receiver.WaitForWords(1_000);
            times[i] = run.Stop();
            Assert.Null(run.Fault);
        }

        Judge(kind + ", flooded", times);
    }

    [Fact]
    public async Task StartAndStop_AThousandSessions_LeakNoThreadHandleOrMemory()
    {
        const int Rounds = 1_000;
        Setup setup = new() { Scan = WordBytes.Description.Scan, Columns = new() { ColumnCount = 100 } };
        for (int i = 0; i < 100; i++) await Round(i, setup);
        (int threads, int handles, long memory, long resident) before = Measure();

        for (int i = 0; i < Rounds; i++) await Round(i, setup);

        (int threads, int handles, long memory, long resident) after = Measure();
        output.WriteLine($"threads {before.threads} -> {after.threads}, handles {before.handles} -> {after.handles}, managed {before.memory:N0} -> {after.memory:N0} B, resident {before.resident:N0} -> {after.resident:N0} KiB");

        // The pool may have grown by a thread or two meanwhile; a leak would be a thousand.
        Assert.InRange(after.threads, 0, before.threads + 8);
        Assert.InRange(after.handles, 0, before.handles + 8);
        Assert.InRange(after.memory, 0, before.memory + 1_000_000);
    }

    private static async Task Round(int number, Setup setup)
    {
        using ISourceRig rig = Create((number % 5) switch { 0 => "serial", 1 => "stdin", 2 => "stream", 3 => "tcp", _ => "own" });
        await using AcquisitionSession session = AcquisitionSession.Start(rig.Source, setup, new SessionOptions { ScansPerHalf = 64 });
        if (number % 2 == 0) return;
        rig.Feed([1, 2]);
        Assert.True(SpinWait.SpinUntil(() => session.Latency.Count > 0, TimeSpan.FromSeconds(20)));
    }

    private static (int Threads, int Handles, long Memory, long Resident) Measure()
    {
        for (int i = 0; i < 3; i++)
        {
            GC.Collect();
            GC.WaitForPendingFinalizers();
        }

        string resident = File.ReadLines("/proc/self/status").Single(line => line.StartsWith("VmRSS:", StringComparison.Ordinal));
        return (Directory.GetDirectories("/proc/self/task").Length,
            Directory.GetFileSystemEntries("/proc/self/fd").Length,
            GC.GetTotalMemory(forceFullCollection: true),
            long.Parse(new string([.. resident.Where(char.IsAsciiDigit)])));
    }

    private static ISourceRig Create(string kind) => kind switch
    {
        "serial" => new SerialRig(),
        "serial, platform's class" => new SerialRig(usePlatformClass: true),
        "stdin" => new PipeRig(),
        "stream" => new StreamRig(),
        "tcp" => new TcpRig(),
        Bench => new BenchRig(pace: 1),
        _ => new QueueRig(),
    };

    private void Judge(string kind, TimeSpan[] times)
    {
        Array.Sort(times);
        output.WriteLine($"{kind}: median {times[Tries / 2].TotalMilliseconds:0.000} ms, 95 % {times[(Tries * 95 / 100) - 1].TotalMilliseconds:0.000} ms, longest {times[^1].TotalMilliseconds:0.000} ms");
        Assert.InRange(times.Count(time => time <= Limit), Tries * 95 / 100, Tries);

        // Were the stop looked for at an interval, half of the tries would take half of it; that of a busy machine's turns is less than that of a poll.
        Assert.InRange(times[Tries / 2].TotalMilliseconds, 0, 25);
    }
}
