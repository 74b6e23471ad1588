namespace Acquire.Link;

/// <summary>Sees every piece between two delimiters, in the order in which they are decided, empty ones left out.</summary>
public interface ILinkObserver
{
    /// <summary>A piece was decided.</summary>
    /// <param name="report">Where it stood and what became of it.</param>
    /// <param name="encoded">
    /// Its bytes without the delimiters, valid during the call only; of a piece that is too long, the first <see cref="LinkFrame.MostEncodedBytes"/>.
    /// </param>
    void Saw(in LinkFrameReport report, ReadOnlySpan<byte> encoded);
}
