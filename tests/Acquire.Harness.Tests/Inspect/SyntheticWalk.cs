using Acquire.Capture;
using Acquire.Harness.Inspect;
using Acquire.Sources.Synthetic;

namespace Acquire.Harness.Tests.Inspect;

/// <summary>Shows the scans of a synthetic bench, built anew for each walk.</summary>
internal sealed class SyntheticWalk(SyntheticOptions options) : IScanWalk
{
    public void Walk(IScanVisitor visitor, CancellationToken cancel)
    {
        SyntheticBench bench = new(options);
        ushort[] words = new ushort[1_021 * options.Roles.Count];
        for (bool more = true; more;)
        {
            SyntheticRead read = bench.Read(words);
            switch (read.Kind)
            {
                case SyntheticReadKind.Scans:
                    more = visitor.Scans(words.AsSpan(0, (int)read.Count * options.Roles.Count));
                    break;
                case SyntheticReadKind.Gap:
                    more = visitor.Lost(read.Count, GapCause.Link);
                    break;
                case SyntheticReadKind.Break:
                    more = visitor.Broken(GapCause.Reset);
                    break;
                default:
                    return;
            }
        }
    }
}
