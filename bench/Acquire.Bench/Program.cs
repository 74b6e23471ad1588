using Acquire.Bench;
using BenchmarkDotNet.Configs;
using BenchmarkDotNet.Running;

BenchmarkSwitcher
    .FromAssembly(typeof(RateColumn).Assembly)
    .Run(args, DefaultConfig.Instance.AddColumn(new RateColumn()));
