using System.Text;
using Acquire.Harness.Output;

namespace Acquire.Harness.Tests.Output;

/// <summary>Texts come back as they were set, of any length that there is room for.</summary>
public sealed class ShortTextsTests
{
    [Fact]
    public void Write_EveryLength_IsTheTextThatWasSet()
    {
        ShortTexts texts = new(ShortTexts.MostBytes + 1);
        string longest = string.Concat(Enumerable.Range(0, ShortTexts.MostBytes).Select(i => (char)('a' + (i % 26))));
        for (int length = 0; length <= ShortTexts.MostBytes; length++) texts.Set(length, Encoding.UTF8.GetBytes(longest[..length]));
        byte[] written = new byte[ShortTexts.MostBytes];

        for (int length = 0; length <= ShortTexts.MostBytes; length++)
            Assert.Equal(longest[..length], Encoding.UTF8.GetString(written, 0, texts.Write(written, length)));
    }

    [Fact]
    public void Write_NeverSetOrReplaced_IsWhatStandsThere()
    {
        ShortTexts texts = new(2);
        texts.Set(1, "longer"u8);
        texts.Set(1, "1"u8);
        byte[] written = new byte[ShortTexts.MostBytes];

        Assert.Equal(0, texts.Write(written, 0));
        Assert.Equal("1", Encoding.UTF8.GetString(written, 0, texts.Write(written, 1)));
    }
}
