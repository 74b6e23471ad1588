using Acquire.Bench;
using Acquire.Bench.Speed;
using BenchmarkDotNet.Configs;
using BenchmarkDotNet.Running;

if (args is ["look", ..])
{
    QuickLook.Run(args.Length > 1 ? int.Parse(args[1], System.Globalization.CultureInfo.InvariantCulture) : 4_096, 5, args.Length > 2 ? int.Parse(args[2], System.Globalization.CultureInfo.InvariantCulture) : 64);
    return;
}

BenchmarkSwitcher
    .FromAssembly(typeof(RateColumn).Assembly)
    .Run(args, DefaultConfig.Instance.AddColumn(new RateColumn()));
