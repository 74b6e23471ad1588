namespace Acquire.Recordings.Tests.Doubles;

/// <summary>Asserts that work allocates nothing on this thread.</summary>
internal static class Allocations
{
    private const int Rounds = 5;

    /// <summary>Runs the work, then measures it; fails when every one of five rounds allocated.</summary>
    /// <remarks>A collection started by another test in the middle of a round was seen to add to this thread's count; what the work itself
    /// allocates shows in each round.</remarks>
    public static void AssertNone(Action work, int runs)
    {
        for (int i = 0; i < runs; i++) work();
        long least = long.MaxValue;
        for (int round = 0; round < Rounds; round++)
        {
            long before = GC.GetAllocatedBytesForCurrentThread();
            for (int i = 0; i < runs; i++) work();
            least = Math.Min(least, GC.GetAllocatedBytesForCurrentThread() - before);
        }

        Assert.Equal(0, least);
    }
}
