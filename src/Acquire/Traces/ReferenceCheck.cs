namespace Acquire.Traces;

/// <summary>The result of comparing a reading's conditions with a reference's.</summary>
/// <param name="Verdict">Whether the reference may be used.</param>
/// <param name="Issues">Everything that was found, the refusing ones first.</param>
/// <param name="OffsetDb">Level offset that the caller allowed different settings with, to be printed; 0 where none was needed.</param>
public sealed record ReferenceCheck(ReferenceVerdict Verdict, IReadOnlyList<ReferenceIssue> Issues, double OffsetDb)
{
    /// <summary>Whether the reference may be used.</summary>
    public bool IsUsable => Verdict != ReferenceVerdict.Refused;
}
