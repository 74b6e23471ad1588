namespace Acquire.Tests.Traces;

internal static class NoAllocation
{
    internal static void In(Action steadyState, int runs = 300)
    {
        for (int i = 0; i < runs; i++) steadyState();

        long before = GC.GetAllocatedBytesForCurrentThread();
        for (int i = 0; i < runs; i++) steadyState();
        Assert.Equal(0, GC.GetAllocatedBytesForCurrentThread() - before);
    }
}
