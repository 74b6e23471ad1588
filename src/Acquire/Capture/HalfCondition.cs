namespace Acquire.Capture;

/// <summary>What completing a drain found out about the half that was read.</summary>
public enum HalfCondition
{
    /// <summary>Nobody wrote to the half while it was read.</summary>
    Whole,

    /// <summary>Hardware may have overwritten the half while it was read: each of its scans is suspect.</summary>
    Suspect,
}
