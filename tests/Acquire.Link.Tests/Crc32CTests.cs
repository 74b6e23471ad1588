using System.Text;

namespace Acquire.Link.Tests;

public class Crc32CTests
{
    // RFC 3720 appendix B.4 (RFC 7143), and the catalogue value of CRC-32/ISCSI for "123456789".
    public static TheoryData<byte[], uint> Published => new()
    {
        { Encoding.ASCII.GetBytes("123456789"), 0xE3069283 },
        { new byte[32], 0x8A9136AA },
        { [.. Enumerable.Repeat<byte>(0xFF, 32)], 0x62A8AB43 },
        { [.. Enumerable.Range(0, 32).Select(i => (byte)i)], 0x46DD794E },
        { [.. Enumerable.Range(0, 32).Select(i => (byte)(31 - i))], 0x113FDB5C },
        { [], 0 },
    };

    [Theory]
    [MemberData(nameof(Published))]
    public void Of_PublishedBytes_GivesThePublishedValue(byte[] bytes, uint expected)
    {
        Assert.Equal(expected, Crc32C.Of(bytes));
        Assert.Equal(expected, Crc32C.OfBitByBit(bytes));
    }

    [Fact]
    public void Of_EveryLength_IsTheDefinition()
    {
        byte[] bytes = new byte[1_300];
        new Random(1).NextBytes(bytes);

        for (int length = 0; length <= bytes.Length - 1; length++)
            Assert.Equal(Crc32C.OfBitByBit(bytes.AsSpan(1, length)), Crc32C.Of(bytes.AsSpan(1, length)));
    }

    [Fact]
    public void Of_BytesAndTheirOwnValue_LeavesTheResidue()
    {
        byte[] bytes = [.. Encoding.ASCII.GetBytes("123456789"), 0x83, 0x92, 0x06, 0xE3];

        // CRC catalogue: residue B798B438 before the final exclusive-or.
        Assert.Equal(~0xB798B438u, Crc32C.Of(bytes));
    }
}
