namespace Acquire.Traces;

/// <summary>One thing in which a reading and a reference differ, or may differ.</summary>
/// <param name="Kind">What it is about.</param>
/// <param name="Refuses">It forbids the use; false is a warning, or a difference that the caller allowed.</param>
/// <param name="Text">One or two sentences for a person: both values, the rule and the fix.</param>
public sealed record ReferenceIssue(ReferenceIssueKind Kind, bool Refuses, string Text);
