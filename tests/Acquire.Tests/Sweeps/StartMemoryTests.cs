using Acquire.Sweeps;

namespace Acquire.Tests.Sweeps;

/// <summary>What earlier sweeps say of when the next one starts.</summary>
public sealed class StartMemoryTests
{
    [Fact]
    public void Wait_OneSweep_SaysNothing()
    {
        StartMemory memory = default;
        memory.LearnWait(40);

        Assert.Equal(0, memory.At(1_000, corner: 1).Against(900));
    }

    [Fact]
    public void Wait_Alike_ExpectsThat()
    {
        StartMemory memory = default;
        for (int i = 0; i < 8; i++) memory.LearnWait(40 + (i % 2));

        StartTime expected = memory.At(1_000, corner: 1);

        Assert.Equal(1_040.5, expected.Scan, 6);
        Assert.True(expected.Against(1_040) < 0.5, "half a scan off is what they were themselves");
        Assert.True(expected.Against(1_046) > 9, "five scans off is more than three deviations");
    }

    [Fact]
    public void Wait_ScatteredOrHardToTell_SaysLittle()
    {
        StartMemory scattered = default, alike = default;
        for (int i = 0; i < 8; i++)
        {
            scattered.LearnWait(40 + (5 * (i % 4)));
            alike.LearnWait(47);
        }

        Assert.True(scattered.At(0, corner: 1).Against(52) < 1);
        Assert.True(alike.At(0, corner: 10).Against(52) < 1, "starts that err alike agree");
        Assert.True(alike.At(0, corner: 0.5).Against(52) > 9);
    }

    [Fact]
    public void Wait_FarOff_SaysNoMoreThanFourDeviations()
    {
        StartMemory memory = default;
        for (int i = 0; i < 8; i++) memory.LearnWait(40);

        Assert.Equal(16, memory.At(0, corner: 1).Against(4_000));
    }

    [Fact]
    public void Wait_SetAnew_BeginsAnew()
    {
        StartMemory memory = default;
        for (int i = 0; i < 8; i++) memory.LearnWait(40);
        memory.LearnWait(4_000);
        Assert.Equal(0, memory.At(0, corner: 1).Variance);
        memory.LearnWait(4_000);

        Assert.Equal(4_000, memory.At(0, corner: 1).Scan, 6);
    }

    [Fact]
    public void Wait_NotBehindAWholeSweep_IsNotExpected()
    {
        StartMemory memory = default;
        for (int i = 0; i < 8; i++) memory.LearnWait(40);

        Assert.Equal(0, memory.At(-1, corner: 1).Against(40));
    }
}
