using Acquire.Columns;
using Acquire.Harness.Runs;
using Acquire.Harness.Tests.Doubles;

namespace Acquire.Harness.Tests.Runs;

/// <summary>Sweeps are written whole and in order, and what goes wrong is heard of.</summary>
public sealed class SweepWritingTests
{
    private static readonly Setup TwoColumns = new() { Columns = new ColumnOptions { ColumnCount = 2 } };

    [Fact]
    public void Add_MoreSweepsThanAreKept_WritesEachAsItWas()
    {
        List<(long, int)> written = [];
        using SweepWriting writing = new(TwoColumns, (in SweepView sweep) => written.Add((sweep.Info.Number, sweep.Verticals[0].HighestCodes[0])));

        for (int number = 0; number < 50; number++) writing.Add(new FakeSweep(TwoColumns, number).Put(0, 0, (ushort)(1_000 + number)).View());
        writing.Complete();

        Assert.Equal(Enumerable.Range(0, 50).Select(number => ((long)number, 1_000 + number)), written);
    }

    [Fact]
    public void Add_AfterWritingFailed_Throws()
    {
        using SweepWriting writing = new(TwoColumns, (in SweepView sweep) => throw new IOException("no room"));

        // As many as are kept may be handed over before the failure is seen.
        IOException exception = Assert.Throws<IOException>(() =>
        {
            for (int number = 0; number < 50; number++) writing.Add(new FakeSweep(TwoColumns, number).View());
        });

        Assert.Equal("no room", exception.Message);
    }

    [Fact]
    public void Complete_LastSweepFails_Throws()
    {
        using SweepWriting writing = new(TwoColumns, (in SweepView sweep) => throw new IOException("no room"));
        writing.Add(new FakeSweep(TwoColumns, 0).View());

        Assert.Throws<IOException>(writing.Complete);
    }

    [Fact]
    public void Complete_NoSweep_Ends()
    {
        int written = 0;
        using SweepWriting writing = new(TwoColumns, (in SweepView sweep) => written++);

        writing.Complete();

        Assert.Equal(0, written);
    }
}
