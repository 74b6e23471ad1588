using Acquire.Capture;

namespace Acquire.Harness.Inspect;

/// <summary>Several visitors as one, each called in turn for as long as it wants to see more.</summary>
/// <param name="visitors">The visitors.</param>
internal sealed class InTurn(IReadOnlyList<IScanVisitor> visitors) : IScanVisitor
{
    private readonly List<IScanVisitor> _left = [.. visitors];

    /// <inheritdoc/>
    public bool Scans(ReadOnlySpan<ushort> scans)
    {
        for (int v = _left.Count - 1; v >= 0; v--)
            if (!_left[v].Scans(scans)) _left.RemoveAt(v);
        return _left.Count > 0;
    }

    /// <inheritdoc/>
    public bool Lost(long lostScans, GapCause cause)
    {
        _left.RemoveAll(visitor => !visitor.Lost(lostScans, cause));
        return _left.Count > 0;
    }

    /// <inheritdoc/>
    public bool Broken(GapCause cause)
    {
        _left.RemoveAll(visitor => !visitor.Broken(cause));
        return _left.Count > 0;
    }
}
