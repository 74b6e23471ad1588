namespace Acquire.Harness.Inspect;

/// <summary>A stream that can be walked more than once, from its beginning each time.</summary>
internal interface IScanWalk
{
    /// <summary>Shows the stream to a visitor until it ends or the visitor has seen enough.</summary>
    /// <param name="visitor">Is called on this thread.</param>
    /// <param name="cancel">Stops the walk.</param>
    /// <exception cref="OperationCanceledException">Stopped.</exception>
    void Walk(IScanVisitor visitor, CancellationToken cancel);

    /// <summary>Shows the stream to several visitors until it ends or all have seen enough.</summary>
    /// <param name="visitors">Share nothing that changes: each may be called on a thread of its own, the first one on this thread.</param>
    /// <param name="cancel">Stops the walk.</param>
    /// <exception cref="OperationCanceledException">Stopped.</exception>
    void Walk(IReadOnlyList<IScanVisitor> visitors, CancellationToken cancel) => Walk(new InTurn(visitors), cancel);
}
