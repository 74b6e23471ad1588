namespace Acquire.Traces;

/// <summary>Whether a marker found what it was asked for, and if not, why.</summary>
public enum MarkerOutcome
{
    /// <summary>It did.</summary>
    Found,

    /// <summary>No column is filled.</summary>
    NothingFilled,

    /// <summary>The position lies outside of the trace.</summary>
    OutsideTrace,

    /// <summary>There is no reading at the place asked for.</summary>
    Unfilled,

    /// <summary>Nothing rises above its surroundings by the excursion asked for.</summary>
    NoPeak,

    /// <summary>The notch is not as deep as the level asked for, counted from its shoulder.</summary>
    NotDeepEnough,

    /// <summary>The trace ends before the level is reached towards lower positions.</summary>
    LowerEdgeNotReached,

    /// <summary>The trace ends before the level is reached towards higher positions.</summary>
    UpperEdgeNotReached,

    /// <summary>A width was asked for, but what its level counts from, the top or the shoulder, has no input: there are no decibels below it.</summary>
    NoInput,
}
