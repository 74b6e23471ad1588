namespace Acquire.Sources.Sessions;

/// <summary>What becomes of a sweep for which the consumer has no time yet.</summary>
public enum SweepPolicy
{
    /// <summary>The newest sweep replaces the one that waits: for a picture.</summary>
    NewestWins,

    /// <summary>Sweeps wait up to <see cref="SessionOptions.MostSweeps"/>; beyond that the sweep that has just ended is dropped: for records of a live source.</summary>
    DropWhenFull,

    /// <summary>Sweeps wait up to <see cref="SessionOptions.MostSweeps"/>; then engine and source wait: for sources that can.</summary>
    Wait,
}
