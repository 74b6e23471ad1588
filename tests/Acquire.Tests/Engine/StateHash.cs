using Acquire.Columns;
using Acquire.Scales;
using Acquire.Traces;

namespace Acquire.Tests.Engine;

/// <summary>All that an engine has published, as one number: the same bits give the same number, others almost surely another.</summary>
internal static class StateHash
{
    public const ulong Start = 14_695_981_039_346_656_037;

    private static readonly AveragingDomain[] Domains = Enum.GetValues<AveragingDomain>();

    public static ulong Of(SweepEngine engine)
    {
        ulong hash = Start;
        foreach (Trace trace in engine.Traces) hash = Of(trace, hash);
        return Mix(hash, (ulong)engine.Axis.GetHashCode());
    }

    public static ulong Of(Trace trace, ulong hash = Start)
    {
        hash = Of(trace.Columns, hash);
        for (int c = 0; c < trace.ColumnCount; c++)
        {
            hash = Mix(hash, (ulong)trace.SweepNumbers[c]);
            hash = Mix(hash, (ulong)trace.Ages[c]);
            hash = Mix(hash, (ulong)trace.Marks[c]);
        }

        hash = Mix(hash, (ulong)trace.Front);
        hash = Mix(hash, (ulong)trace.SweepNumber);
        hash = Mix(hash, (ulong)trace.AxisNumber);
        return Mix(hash, trace.FrontMovesDown ? 1UL : 0);
    }

    public static ulong Of(ColumnStatistics columns, ulong hash = Start)
    {
        for (int c = 0; c < columns.ColumnCount; c++)
        {
            hash = Mix(hash, (ulong)columns.Counts[c]);
            if (columns.Counts[c] == 0) continue;
            hash = Mix(hash, columns.HighestCodes[c]);
            hash = Mix(hash, columns.LowestCodes[c]);
            hash = Mix(hash, columns.LastCodes[c]);
            hash = Mix(hash, (ulong)columns.CodeSums[c]);
            hash = Mix(hash, (ulong)columns.CodeSquareSums[c]);
            hash = Mix(hash, (ulong)(columns.CodeSquareSums[c] >> 64));
            foreach (AveragingDomain domain in Domains)
            {
                if (!columns.Has(domain)) continue;
                hash = Mix(hash, (ulong)columns.DomainSums(domain)[c]);
                hash = Mix(hash, (ulong)(columns.DomainSums(domain)[c] >> 64));
            }
        }

        return hash;
    }

    private static ulong Mix(ulong hash, ulong value) => System.Numerics.BitOperations.RotateLeft((hash ^ value) * 0x9E37_79B9_7F4A_7C15, 29);
}
