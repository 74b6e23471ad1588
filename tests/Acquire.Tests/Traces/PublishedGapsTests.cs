using Acquire.Columns;
using Acquire.Scales;
using Acquire.Traces;
using CsCheck;

namespace Acquire.Tests.Traces;

/// <summary>Columns published side by side, over gaps between them, leave the trace as columns published one by one.</summary>
public class PublishedGapsTests
{
    private const int Columns = 45;

    private static readonly VerticalConverter Converter = Given.Converter(Given.Logarithmic, Given.AllDomains);

    // What of a sweep is published at a time: columns with scans but for some single ones, and how the sweep ends.
    private static readonly Gen<(bool[] Filled, int From, int To, bool Settled)> AnyPart =
        Gen.Select(Gen.Frequency((4, Gen.Const(true)), (1, Gen.Const(false))).Array[Columns], Gen.Int[0, Columns - 1], Gen.Int[1, Columns], Gen.Bool);

    [Fact]
    public void PublishColumns_OverGaps_IsThePublishOfEachFilledColumn() =>
        Gen.Select(AnyPart.Array[1, 3].Array[1, 6], Gen.Bool.Array[6]).Sample((sweeps, cancelled) =>
        {
            Trace together = new(Columns, Given.AllDomains), singly = new(Columns, Given.AllDomains), reader = new(Columns, Given.AllDomains, reader: true);
            for (int sweep = 0; sweep < sweeps.Length; sweep++)
            {
                together.BeginSweep(sweep);
                singly.BeginSweep(sweep);
                foreach (var part in sweeps[sweep])
                {
                    if (part.Settled && !cancelled[sweep])
                    {
                        together.SettleSweep();
                        singly.SettleSweep();
                    }

                    Publish(together, singly, sweep, part.Filled, Math.Min(part.From, part.To - 1), part.To);
                    together.EndPublish();
                    singly.EndPublish();
                    reader.CopyFrom(together);
                    AssertAlike(singly, together);
                    AssertAlike(singly, reader);
                }

                if (cancelled[sweep])
                {
                    together.CancelSweep();
                    singly.CancelSweep();
                }
                else
                {
                    together.EndSweep(reachedEnd: true);
                    singly.EndSweep(reachedEnd: true);
                }

                together.EndPublish();
                singly.EndPublish();
                AssertAlike(singly, together);
            }
        });

    private static void Publish(Trace together, Trace singly, int sweep, bool[] filled, int from, int to)
    {
        ColumnStatistics columns = Given.Columns(Converter, [.. filled.Select((has, c) => has ? new[] { (ushort)((100 * sweep) + c) } : [])]);
        long[] positions = [.. Enumerable.Range(0, Columns).Select(c => (1_000L * sweep) + c)];
        ColumnMarks[] marks = [.. Enumerable.Range(0, Columns).Select(c => c % 7 == 0 ? ColumnMarks.Settling : ColumnMarks.None)];
        int first = Array.FindIndex(filled, from, to - from, has => has), last = Array.FindLastIndex(filled, to - 1, to - from, has => has);
        if (first < 0) return;
        int[] gaps = [.. Enumerable.Range(first, last - first).Where(c => !filled[c]).Take(Trace.MostGaps)];
        together.PublishColumns(first, last + 1, gaps, columns, sweep, positions, marks, ColumnMarks.Provisional);
        for (int c = first; c <= last; c++)
            if (filled[c]) singly.PublishColumn(c, columns, c, sweep, positions[c], marks[c] | ColumnMarks.Provisional);
        foreach (int gap in gaps)
        {
            together.RestoreColumn(gap);
            singly.RestoreColumn(gap);
        }
    }

    private static void AssertAlike(Trace expected, Trace actual)
    {
        Assert.Equal(expected.SweepNumbers.ToArray(), actual.SweepNumbers.ToArray());
        Assert.Equal(expected.Ages.ToArray(), actual.Ages.ToArray());
        Assert.Equal(expected.Marks.ToArray(), actual.Marks.ToArray());
        Assert.Equal(expected.ColumnVersions.ToArray(), actual.ColumnVersions.ToArray());
        Assert.Equal(expected.Columns.Counts.ToArray(), actual.Columns.Counts.ToArray());
        Assert.Equal(expected.Columns.LastCodes.ToArray(), actual.Columns.LastCodes.ToArray());
        Assert.Equal(expected.Version, actual.Version);
    }
}
