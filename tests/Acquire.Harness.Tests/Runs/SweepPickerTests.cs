using Acquire.Columns;
using Acquire.Harness.Runs;
using Acquire.Harness.Tests.Doubles;

namespace Acquire.Harness.Tests.Runs;

public class SweepPickerTests
{
    private static readonly Setup Small = new() { Columns = new ColumnOptions { ColumnCount = 2 } };

    [Fact]
    public void Picked_LastThreeOfMany_AreOldestFirst()
    {
        Assert.Equal([2, 3, 4], Pick(null, 3, [.. Enumerable.Range(0, 5).Select(n => new FakeSweep(Small, n))]));
    }

    [Fact]
    public void Picked_FewerThanAsked_AreAllThereAre()
    {
        Assert.Equal([0, 1], Pick(null, 5, new FakeSweep(Small, 0), new FakeSweep(Small, 1)));
    }

    [Fact]
    public void Picked_IncompleteSweeps_AreLeftOut()
    {
        Assert.Equal([0, 2], Pick(null, 2, new FakeSweep(Small, 0), new FakeSweep(Small, 1, complete: false), new FakeSweep(Small, 2), new FakeSweep(Small, 3, complete: false)));
    }

    [Fact]
    public void Picked_ByNumber_IsThatSweepCompleteOrNot()
    {
        Assert.Equal([1], Pick(1, 1, new FakeSweep(Small, 0), new FakeSweep(Small, 1, complete: false), new FakeSweep(Small, 2)));
    }

    [Fact]
    public void Picked_AfterANewAxis_HoldsOnlySweepsOfThatAxis()
    {
        Assert.Equal([2], Pick(null, 3, new FakeSweep(Small, 0), new FakeSweep(Small, 1), new FakeSweep(Small, 2, axisNumber: 1)));
    }

    [Fact]
    public void Last_OnlyIncompleteSweeps_IsTheLastOfThem()
    {
        SweepPicker picker = new(Small, null, 1);
        picker.Offer(new FakeSweep(Small, 0, complete: false).Put(0, 1, 5).View());

        Assert.Empty(picker.Picked);
        Assert.Equal(1, picker.Last!.Verticals[0].Counts[1]);
    }

    private static long[] Pick(long? number, int most, params FakeSweep[] sweeps)
    {
        SweepPicker picker = new(Small, number, most);
        foreach (FakeSweep sweep in sweeps) picker.Offer(sweep.View());
        return [.. picker.Picked.Select(sweep => sweep.Info.Number)];
    }
}
