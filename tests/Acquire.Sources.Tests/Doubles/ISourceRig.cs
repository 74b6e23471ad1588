namespace Acquire.Sources.Tests.Doubles;

/// <summary>One source with the other end in the test's hands.</summary>
internal interface ISourceRig : IDisposable
{
    /// <summary>The source, not yet run.</summary>
    IScanSource Source { get; }

    /// <summary>Makes the source bring so many scans, without waiting until it has brought them. Before the run or meanwhile.</summary>
    /// <returns>The scans that it will bring.</returns>
    ushort[] Bring(int scans)
    {
        const int WordsPerBlock = 998;
        ushort[] all = NumberedScans.From(0, scans);
        for (int at = 0; at < all.Length; at += WordsPerBlock) Feed(all[at..Math.Min(all.Length, at + WordsPerBlock)]);
        return all;
    }

    /// <summary>Gives the source scans to bring, without waiting until it has brought them. Before the run or meanwhile.</summary>
    void Feed(ushort[] scans);

    /// <summary>Ends the stream behind what was fed.</summary>
    void EndFeed();
}
