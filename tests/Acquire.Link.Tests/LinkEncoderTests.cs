using Acquire.Capture;

namespace Acquire.Link.Tests;

public class LinkEncoderTests
{
    [Theory]
    [InlineData(-1)]
    [InlineData(0)]
    public void Constructor_HalfThatNoReceiverBelieves_IsRefused(int scansPerHalf)
    {
        var options = new LinkEncoderOptions { Description = new StreamDescription { ScansPerHalf = scansPerHalf } };

        Assert.Contains($"ScansPerHalf is {scansPerHalf}", Assert.Throws<ArgumentException>(() => new LinkEncoder(options)).Message, StringComparison.Ordinal);
    }
}
