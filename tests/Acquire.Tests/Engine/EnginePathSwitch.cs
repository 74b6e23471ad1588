using System.Runtime.CompilerServices;

namespace Acquire.Tests.Engine;

/// <summary>Runs all tests on single scans where the environment variable ACQUIRE_PATH says so.</summary>
internal static class EnginePathSwitch
{
    [ModuleInitializer]
    internal static void Set() =>
        AppContext.SetSwitch(EnginePaths.SingleSwitch, Environment.GetEnvironmentVariable("ACQUIRE_PATH") == "single");
}
