namespace Acquire;

/// <summary>Receives each sweep when it has ended.</summary>
public interface ISweepSink
{
    /// <summary>Called on the thread that called the engine, once per sweep, in order, complete or not.</summary>
    /// <param name="sweep">Valid until this call returns; copy what must live longer.</param>
    /// <remarks>It must not call the engine, which does not check that. What it throws passes through the engine's call: scans of that call behind the
    /// sweep are neither taken nor counted, and the engine is not to be used after that.</remarks>
    void SweepEnded(in SweepView sweep);
}
