using System.Globalization;

namespace Acquire.Tests.Engine;

/// <summary>How many seeds a test goes through: a few by default, as many as the environment variable ACQUIRE_SEEDS says by night.</summary>
internal static class Seeds
{
    private static readonly int? Wanted =
        int.TryParse(Environment.GetEnvironmentVariable("ACQUIRE_SEEDS"), NumberStyles.None, CultureInfo.InvariantCulture, out int seeds) ? seeds : null;

    public static IEnumerable<ulong> Of(int usual) => Enumerable.Range(1, Wanted ?? usual).Select(s => (ulong)s);
}
