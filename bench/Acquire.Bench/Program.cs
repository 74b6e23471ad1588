using Acquire.Bench;
using Acquire.Bench.Link;
using Acquire.Bench.Replaying;
using Acquire.Bench.Speed;
using Acquire.Bench.Traces;
using BenchmarkDotNet.Configs;
using BenchmarkDotNet.Running;

if (args is ["look", ..])
{
    int[] numbers = Numbers();
    QuickLook.Run(numbers.Length > 0 ? numbers[0] : 4_096, numbers.Length > 1 ? numbers[1] : 5, numbers.Length > 2 ? numbers[2] : 64, numbers.Length > 3 ? numbers[3..] : [2, 20, 200]);
    return;
}

// Not a measurement of time: a link under every kind of damage. `link-trial [BITS]`.
if (args is ["link-trial", ..])
{
    Environment.ExitCode = LinkTrialRun.Run(args.Length > 1 ? long.Parse(args[1], System.Globalization.CultureInfo.InvariantCulture) : 1_000_000_000);
    return;
}

// Decoding against copying, by turns in slices.
if (args is ["link-speed"])
{
    LinkSpeedRun.Run();
    return;
}

// The command on a long recording: `replay-speed [MIB] [FOLDER] [PROGRAM]`.
if (args is ["replay-speed", ..])
{
    ReplaySpeedRun.Run(args[1..]);
    return;
}

// The same, written where it is published.
if (args is ["publish-speed", ..])
{
    int[] numbers = Numbers();
    PublishedSpeed.Run(numbers.Length > 0 ? numbers[0] : 256, numbers.Length > 1 ? numbers[1] : 9);
    return;
}

if (args is ["speed", ..])
{
    // Megabytes of scans and rounds; what is published uses the usual ones.
    int[] numbers = Numbers();
    SpeedTable.Run(Console.Out, numbers.Length > 0 ? numbers[0] : 256, numbers.Length > 1 ? numbers[1] : 9);
    return;
}

// The engine compiled ahead of time, beside the JIT's.
if (args is ["speed-aot", ..])
{
    int[] numbers = Numbers();
    AotTable.Run(Console.Out, numbers.Length > 0 ? numbers[0] : 64, numbers.Length > 1 ? numbers[1] : 9);
    return;
}

// Instructions a scan; needs valgrind.
if (args is ["instructions"])
{
    InstructionTable.Run(Console.Out);
    return;
}

// What a sweep's end costs, in copies of its trace.
if (args is ["sweep-cost", ..])
{
    SweepCost.Run(Console.Out, args.Length > 1 ? Numbers()[0] : 401);
    return;
}

BenchmarkSwitcher
    .FromAssembly(typeof(RateColumn).Assembly)
    .Run(args, DefaultConfig.Instance.AddColumn(new RateColumn(), new ShareColumn()));

int[] Numbers() => [.. args[1..].Select(a => int.Parse(a, System.Globalization.CultureInfo.InvariantCulture))];
