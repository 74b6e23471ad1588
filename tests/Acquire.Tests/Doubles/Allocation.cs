namespace Acquire.Tests.Doubles;

/// <summary>Asserts that a steady state allocates nothing on this thread.</summary>
internal static class Allocation
{
    public static void AssertNone(Action steadyState, int runs = 200)
    {
        for (int i = 0; i < runs; i++) steadyState();

        // Another thread's collection in between can make the counter jump; what a steady state allocates shows in every try.
        long allocated = long.MaxValue;
        for (int tries = 0; tries < 3 && allocated != 0; tries++)
        {
            long before = GC.GetAllocatedBytesForCurrentThread();
            for (int i = 0; i < runs; i++) steadyState();
            allocated = GC.GetAllocatedBytesForCurrentThread() - before;
        }

        Assert.Equal(0, allocated);
    }
}
