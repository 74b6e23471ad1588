using Acquire.Columns;
using Acquire.Harness.Runs;
using Acquire.Harness.Tests.Doubles;

namespace Acquire.Harness.Tests.Runs;

/// <summary>Sweeps are written whole and in order, however long the text of each takes, and what goes wrong is heard of.</summary>
public sealed class SweepWritingTests
{
    private static readonly Setup TwoColumns = new() { Columns = new ColumnOptions { ColumnCount = 2 } };

    [Theory]
    [InlineData(1)]
    [InlineData(2)]
    [InlineData(5)]
    public void Add_MoreSweepsThanAreKept_WritesEachAsItWas(int threads)
    {
        List<(long, int)> written = [];
        using SweepWriting writing = new(TwoColumns, () => new Notes(written), threads);

        for (int number = 0; number < 50; number++) writing.Add(new FakeSweep(TwoColumns, number).Put(0, 0, (ushort)(1_000 + number)).View());
        writing.Complete();

        Assert.Equal(Enumerable.Range(0, 50).Select(number => ((long)number, 1_000 + number)), written);
    }

    // The first sweep's text is ready only when the second's is.
    [Fact]
    public void Add_SeveralThreads_MakeAtOnceAndWriteInOrder()
    {
        List<(long, int)> written = [];
        using ManualResetEventSlim second = new();
        using SweepWriting writing = new(TwoColumns, () => new Notes(written, making: number =>
        {
            if (number == 0) Assert.True(second.Wait(TimeSpan.FromMinutes(1)), "Nobody made the second meanwhile.");
            if (number == 1) second.Set();
        }), threads: 2);

        for (int number = 0; number < 3; number++) writing.Add(new FakeSweep(TwoColumns, number).Put(0, 0, (ushort)number).View());
        writing.Complete();

        Assert.Equal([(0L, 0), (1L, 1), (2L, 2)], written);
    }

    [Fact]
    public void Add_AfterWritingFailed_Throws()
    {
        using SweepWriting writing = new(TwoColumns, () => new Notes([], writing: _ => throw new IOException("no room")), threads: 2);

        // As many as are kept may be handed over before the failure is seen.
        IOException exception = Assert.Throws<IOException>(() =>
        {
            for (int number = 0; number < 50; number++) writing.Add(new FakeSweep(TwoColumns, number).View());
        });

        Assert.Equal("no room", exception.Message);
    }

    [Fact]
    public void Complete_ASweepFailed_NoneAfterItIsWritten()
    {
        List<(long, int)> written = [];
        using SweepWriting writing = new(TwoColumns, () => new Notes(written, making: number =>
        {
            if (number == 1) throw new IOException("no room");
        }), threads: 3);

        // It may be heard of while the last is handed over.
        Assert.Throws<IOException>(() =>
        {
            for (int number = 0; number < 3; number++) writing.Add(new FakeSweep(TwoColumns, number).Put(0, 0, (ushort)number).View());
            writing.Complete();
        });

        Assert.DoesNotContain(written, sweep => sweep.Item1 > 0);
    }

    [Fact]
    public void Complete_LastSweepFails_Throws()
    {
        using SweepWriting writing = new(TwoColumns, () => new Notes([], writing: _ => throw new IOException("no room")));
        writing.Add(new FakeSweep(TwoColumns, 0).View());

        Assert.Throws<IOException>(writing.Complete);
    }

    [Fact]
    public void Dispose_AnyNumberOfSweeps_DisposesOfEachText()
    {
        int disposed = 0;
        using (SweepWriting writing = new(TwoColumns, () => new Notes([], disposing: () => disposed++), threads: 3)) writing.Complete();

        Assert.Equal(3, disposed);
    }

    /// <summary>Notes the number and a reading of each sweep.</summary>
    private sealed class Notes(List<(long, int)> written, Action<long>? making = null, Action<long>? writing = null, Action? disposing = null) : ISweepText
    {
        private (long Number, int Code) _made;

        public void Make(in SweepView sweep)
        {
            making?.Invoke(sweep.Info.Number);
            _made = (sweep.Info.Number, sweep.Verticals[0].HighestCodes[0]);
        }

        public void Write()
        {
            writing?.Invoke(_made.Number);
            written.Add(_made);
        }

        public void Dispose() => disposing?.Invoke();
    }
}
