namespace Acquire.Tests.Doubles;

public class AllocationTests
{
    [Fact]
    public void AssertNone_AnActionThatAllocates_Fails()
    {
        object? kept = null;

        Assert.ThrowsAny<Xunit.Sdk.XunitException>(() => Allocation.AssertNone(() => kept = new object()));
        Assert.NotNull(kept);
    }
}
