namespace Acquire.Columns;

/// <summary>What is known of single scans besides their codes.</summary>
internal interface IScanFlags
{
    /// <summary>Whether the blanking line says that the beam is off.</summary>
    bool IsBlanked(long scan);

    /// <summary>Whether hardware may have overwritten the scan while it was read.</summary>
    bool IsSuspect(long scan);

    /// <summary>Whether scans are missing just before this one.</summary>
    bool FollowsLoss(long scan);

    /// <summary>Whether any of the scans [first, end), which are in the history, may be blanked or suspect.</summary>
    bool AnyOf(long first, long end);
}
