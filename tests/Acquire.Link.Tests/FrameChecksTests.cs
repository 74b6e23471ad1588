namespace Acquire.Link.Tests;

public class FrameChecksTests
{
    [Fact]
    public void Of_EveryLength_IsBothDefinitions()
    {
        byte[] bytes = new byte[2_100];
        new Random(5).NextBytes(bytes);

        for (int length = 18; length < bytes.Length; length++)
        {
            ReadOnlySpan<byte> covered = bytes.AsSpan(1, length);

            uint crc = FrameChecks.Of(covered, out ushort sum);

            Assert.Equal(Crc32C.OfBitByBit(covered), crc);
            Assert.Equal(WordSum.OfScalar(covered[..^2]), sum);
        }
    }

    [Fact]
    public void Of_LargestFrame_IsBothDefinitions()
    {
        byte[] bytes = new byte[LinkFrame.MostBytes];
        bytes.AsSpan().Fill(0xFF);

        uint crc = FrameChecks.Of(bytes, out ushort sum);

        Assert.Equal(Crc32C.OfBitByBit(bytes), crc);
        Assert.Equal(WordSum.OfScalar(bytes.AsSpan()[..^2]), sum);
    }

    [Fact]
    public void Delimiters_EveryLengthAndPlace_AreFound()
    {
        for (int length = 0; length < 300; length++)
        {
            byte[] bytes = new byte[length + 1];
            bytes.AsSpan().Fill(1);
            Assert.Equal(-1, Delimiters.Find(bytes.AsSpan(1)));
            for (int at = length - 1; at >= 0; at--)
            {
                bytes[at + 1] = 0;
                Assert.Equal(at, Delimiters.Find(bytes.AsSpan(1)));
            }
        }
    }
}
