namespace Acquire;

/// <summary>Which way engines take that were not told.</summary>
internal static class EnginePaths
{
    /// <summary>Name of the switch of <see cref="AppContext"/> that makes all engines take scans singly.</summary>
    public const string SingleSwitch = "Acquire.SingleScans";

    public static EnginePath Usual => AppContext.TryGetSwitch(SingleSwitch, out bool single) && single ? EnginePath.Single : EnginePath.Blocks;
}
