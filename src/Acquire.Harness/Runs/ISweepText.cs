namespace Acquire.Harness.Runs;

/// <summary>Makes text of one sweep after another, and writes it when its turn has come.</summary>
internal interface ISweepText : IDisposable
{
    /// <summary>Makes the text of a sweep; on a thread of this object's own, while others make theirs.</summary>
    /// <param name="sweep">Valid during the call.</param>
    void Make(in SweepView sweep);

    /// <summary>Writes what was made last; nobody else writes meanwhile.</summary>
    void Write();
}
