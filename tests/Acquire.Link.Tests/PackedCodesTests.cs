namespace Acquire.Link.Tests;

public class PackedCodesTests
{
    [Fact]
    public void Write12_TwoCodes_ShareThreeBytes()
    {
        byte[] bytes = new byte[3];

        PackedCodes.Write12([0x123, 0xABC], bytes);

        Assert.Equal([0x23 ^ 0xA5, 0xC1 ^ 0xA5, 0xAB ^ 0xA5], bytes);
    }

    [Fact]
    public void Read12_EveryLength_IsWhatWasWrittenOnEveryPath()
    {
        var random = new Random(2);
        for (int count = 0; count <= 260; count++)
        {
            ushort[] codes = [.. Enumerable.Range(0, count).Select(_ => (ushort)random.Next(4_096))];
            byte[] bytes = new byte[PackedCodes.BytesOf12(count)];
            PackedCodes.Write12(codes, bytes);
            ushort[] read = new ushort[count];
            ushort[] plain = new ushort[count];

            PackedCodes.Read12(bytes, read);
            PackedCodes.Read12Scalar(bytes, plain);

            Assert.Equal(codes, read);
            Assert.Equal(codes, plain);
            ushort[] narrow = new ushort[count];
            int begun = PackedCodes.Read12Narrow(bytes, narrow);
            Assert.Equal(codes[..begun], narrow[..begun]);
            if (!System.Runtime.Intrinsics.X86.Avx2.IsSupported) continue;
            begun = PackedCodes.Read12Wide(bytes, narrow);
            Assert.Equal(codes[..begun], narrow[..begun]);
        }
    }

    [Fact]
    public void Read16_EveryLength_IsWhatWasWrittenOnEveryPath()
    {
        var random = new Random(3);
        for (int count = 0; count <= 260; count++)
        {
            ushort[] codes = [.. Enumerable.Range(0, count).Select(_ => (ushort)random.Next(65_536))];
            byte[] bytes = new byte[2 * count];
            PackedCodes.Write16(codes, bytes);
            ushort[] read = new ushort[count];
            ushort[] plain = new ushort[count];

            PackedCodes.Read16(bytes, read);
            PackedCodes.Read16Scalar(bytes, plain);

            Assert.Equal(codes, read);
            Assert.Equal(codes, plain);
        }
    }

    [Fact]
    public void WordSum_EveryLength_IsTheDefinition()
    {
        byte[] bytes = new byte[300];
        new Random(4).NextBytes(bytes);

        for (int length = 0; length < bytes.Length; length++)
            Assert.Equal(WordSum.OfScalar(bytes.AsSpan(1, length)), WordSum.Of(bytes.AsSpan(1, length)));
    }
}
