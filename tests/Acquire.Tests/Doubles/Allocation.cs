namespace Acquire.Tests.Doubles;

/// <summary>Asserts that a steady state allocates nothing on this thread.</summary>
internal static class Allocation
{
    public static void AssertNone(Action steadyState, int runs = 200)
    {
        for (int i = 0; i < runs; i++) steadyState();

        long before = GC.GetAllocatedBytesForCurrentThread();
        for (int i = 0; i < runs; i++) steadyState();
        Assert.Equal(0, GC.GetAllocatedBytesForCurrentThread() - before);
    }
}
