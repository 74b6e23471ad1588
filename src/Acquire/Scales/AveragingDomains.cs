using System.Runtime.CompilerServices;

namespace Acquire.Scales;

/// <summary>The averaging domains that there are, and how a number that names none is refused.</summary>
internal static class AveragingDomains
{
    /// <summary>How many there are: whatever is kept for each has so many places.</summary>
    public const int Count = 3;

    /// <summary>Whether a number names one.</summary>
    public static bool IsNamed(AveragingDomain domain) => (uint)domain < Count;

    /// <summary>Refuses numbers that name none.</summary>
    /// <exception cref="ArgumentOutOfRangeException">One of them does.</exception>
    public static void ThrowIfUnnamed(IReadOnlyCollection<AveragingDomain> domains, [CallerArgumentExpression(nameof(domains))] string? name = null)
    {
        foreach (AveragingDomain domain in domains) ThrowIfUnnamed(domain, name);
    }

    /// <summary>Refuses a number that names none.</summary>
    /// <exception cref="ArgumentOutOfRangeException">It does not.</exception>
    public static void ThrowIfUnnamed(AveragingDomain domain, [CallerArgumentExpression(nameof(domain))] string? name = null)
    {
        if (!IsNamed(domain)) throw new ArgumentOutOfRangeException(name, $"An averaging domain is {(int)domain}; it must be level, voltage or power.");
    }
}
