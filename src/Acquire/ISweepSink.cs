namespace Acquire;

/// <summary>Receives each sweep when it has ended.</summary>
public interface ISweepSink
{
    /// <summary>Called on the thread that called the engine, once per sweep, in order, complete or not.</summary>
    /// <param name="sweep">Valid until this call returns; copy what must live longer. It must not call the engine.</param>
    void SweepEnded(in SweepView sweep);
}
