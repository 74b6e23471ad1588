using CsCheck;

namespace Acquire.Link.Tests;

public class CobsTests
{
    private static byte[] Encode(byte[] bytes)
    {
        byte[] encoded = new byte[Cobs.MostEncoded(bytes.Length)];
        return encoded[..Cobs.Encode(bytes, encoded)];
    }

    private static byte[]? Decode(byte[] encoded)
    {
        byte[] room = new byte[encoded.Length + Cobs.Slack];
        int count = Cobs.Decode(encoded, room);

        // The same with more behind it, which must make no difference and of which nothing may come out.
        byte[] more = new byte[encoded.Length + Cobs.Slack];
        byte[] followed = [.. encoded, 0, .. Enumerable.Repeat<byte>(0xEE, 400)];
        Assert.Equal(count, Cobs.Decode(followed, encoded.Length, more));
        Assert.Equal(room.AsSpan(0, Math.Max(0, count)), more.AsSpan(0, Math.Max(0, count)));
        return count < 0 ? null : room[..count];
    }

    private static byte[] Hex(string text) => Convert.FromHexString(text.Replace(" ", "", StringComparison.Ordinal));

    // Cheshire and Baker 1999, figure 3; the others are test data that public codecs share.
    [Theory]
    [InlineData("45 00 00 2C 4C 79 00 00 40 06 4F 37", "02 45 01 04 2C 4C 79 01 05 40 06 4F 37")]
    [InlineData("", "01")]
    [InlineData("00", "01 01")]
    [InlineData("00 00", "01 01 01")]
    [InlineData("00 11 00", "01 02 11 01")]
    [InlineData("11 22 00 33", "03 11 22 02 33")]
    [InlineData("11 00 00 00", "02 11 01 01 01")]
    public void Encode_PublishedBytes_GivesThePublishedForm(string bytes, string encoded)
    {
        Assert.Equal(Hex(encoded), Encode(Hex(bytes)));
        Assert.Equal(Hex(bytes), Decode(Hex(encoded)));
    }

    [Fact]
    public void Encode_LongRun_IsSplitAsInThePaper()
    {
        // Figure 2 of the same paper: 679 ones and a zero.
        byte[] bytes = [.. Enumerable.Repeat<byte>(1, 679), 0];

        byte[] encoded = Encode(bytes);

        Assert.Equal(683, encoded.Length);
        Assert.Equal((0xFF, 0xFF, 0xAC, 0x01), (encoded[0], encoded[255], encoded[510], encoded[^1]));
        Assert.Equal(bytes, Decode(encoded));
    }

    [Fact]
    public void Decode_FullBlockAtTheEnd_WithAndWithoutAnEmptyOne_IsTheSame()
    {
        byte[] bytes = [.. Enumerable.Range(1, 254).Select(i => (byte)i)];
        byte[] encoded = Encode(bytes);

        Assert.Equal(255, encoded.Length);
        Assert.Equal(bytes, Decode(encoded));
        Assert.Equal(bytes, Decode([.. encoded, 0x01]));
    }

    [Theory]
    [InlineData("")]
    [InlineData("05 31 32 33")]
    [InlineData("FF 01")]
    public void Decode_LengthBeyondTheEnd_IsRefused(string encoded) => Assert.Null(Decode(Hex(encoded)));

    [Fact]
    public void Decode_AnyBytes_IsTheDefinition() =>
        Gen.Select(Gen.Byte.Array[0, 700], Gen.Int[1, 255]).Sample((bytes, highest) =>
        {
            // All bytes below a bound: how long the blocks are depends on it.
            byte[] encoded = [.. bytes.Select(b => (byte)((b % highest) + 1))];
            byte[] expected = new byte[encoded.Length];
            int count = Cobs.DecodeByteByByte(encoded, expected);

            return count < 0 ? Decode(encoded) is null : expected.AsSpan(0, count).SequenceEqual(Decode(encoded));
        }, iter: 3_000);

    [Fact]
    public void Decode_WhatWasEncoded_IsBackAndSmall() =>
        Gen.Select(Gen.Byte.Array[0, 1_200], Gen.Int[0, 255]).Sample((bytes, highest) =>
        {
            byte[] sent = [.. bytes.Select(b => (byte)Math.Min(b, highest))];
            byte[] encoded = Encode(sent);

            return !encoded.Contains((byte)0) && encoded.Length <= Cobs.MostEncoded(sent.Length) && sent.AsSpan().SequenceEqual(Decode(encoded));
        }, iter: 2_000);
}
