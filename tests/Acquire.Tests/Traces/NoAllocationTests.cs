namespace Acquire.Tests.Traces;

public class NoAllocationTests
{
    [Fact]
    public void In_AnActionThatAllocates_Fails()
    {
        object? kept = null;

        Assert.ThrowsAny<Xunit.Sdk.XunitException>(() => NoAllocation.In(() => kept = new object()));
        Assert.NotNull(kept);
    }
}
