namespace Acquire.Sources.Tests.Doubles;

/// <summary>One source with the other end in the test's hands.</summary>
internal interface ISourceRig : IDisposable
{
    /// <summary>The source, not yet run.</summary>
    IScanSource Source { get; }

    /// <summary>Gives the source scans to bring, without waiting until it has brought them. Before the run or meanwhile.</summary>
    void Feed(ushort[] scans);

    /// <summary>Ends the stream behind what was fed.</summary>
    void EndFeed();
}
