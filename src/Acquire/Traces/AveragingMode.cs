namespace Acquire.Traces;

/// <summary>What an average over sweeps does when it has its sweeps.</summary>
public enum AveragingMode
{
    /// <summary>It takes exactly N sweeps and stops.</summary>
    Block,

    /// <summary>It is the exact mean until N sweeps and then follows: each new sweep moves it by 1/N of the difference.</summary>
    Running,
}
