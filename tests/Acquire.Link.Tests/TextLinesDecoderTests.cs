using System.Text;
using Acquire.Capture;
using Acquire.Link.Tests.Doubles;
using CsCheck;

namespace Acquire.Link.Tests;

public class TextLinesDecoderTests
{
    private static readonly string[] Parts = ["1,2\n", "3,4\r\n", "9,5,6\n", "10,7,8\n", "#a\n", "\n", ",", "x", "12345678901234567890", new string(' ', 250)];

    private static (string Heard, TextLinesDecoder Decoder) Decode(string text, bool numbered = false, int cut = int.MaxValue, int numberBits = 32)
    {
        var heard = new HeardScans();
        var decoder = new TextLinesDecoder(heard, new TextLinesOptions { Numbered = numbered, NumberBits = numberBits });
        byte[] bytes = Encoding.UTF8.GetBytes(text);
        for (int at = 0; at < bytes.Length; at += Math.Min(cut, bytes.Length))
            decoder.Take(bytes.AsSpan(at, Math.Min(cut, bytes.Length - at)));
        decoder.Complete();
        return (heard.ToString(), decoder);
    }

    [Theory]
    [InlineData("1,2\n3,4\n", "1,2 | 3,4")]
    [InlineData("1,2\r\n\r\n 3 , 4 \r\n", "1,2 | 3,4")]
    [InlineData("0,4095\n0001,2\n", "0,4095 | 1,2")]
    [InlineData("1,2\n3,4", "1,2")]
    [InlineData("# ready \u0007\n1,2\n", "say ready \u0007 | 1,2")]
    public void Take_Lines_AreScans(string text, string expected) => Assert.Equal(expected, Decode(text).Heard);

    [Theory]
    [InlineData(int.MaxValue)]
    [InlineData(1)]
    [InlineData(100)]
    public void Take_LongWordsForPeople_AreNoLoss(int cut)
    {
        // The 256th byte is the first of a character's two: half of it is shown to nobody.
        string words = new string('w', 253) + "é and more";
        (string heard, TextLinesDecoder decoder) = Decode($"1,2\n# {words}\n3,4\n", cut: cut);

        Assert.Equal($"1,2 | say {words[..253]} ... | 3,4", heard);
        Assert.Equal((0, 0), (decoder.LinesRefused, decoder.Breaks));
        Assert.Equal(Encoding.UTF8.GetByteCount(words) + 2 - 256, decoder.BytesDiscarded);
    }

    [Theory]
    [InlineData("1,2\n3\n5,6\n", "1,2 | break Link at least 0 | 5,6")]
    [InlineData("1,2\n3,x4\n5,6\n", "1,2 | break Link at least 1 | 5,6")]
    [InlineData("1,2\n3,4096\n5,6\n", "1,2 | break Link at least 1 | 5,6")]
    [InlineData("1,2\n3,4,5\n,1\n5,6\n", "1,2 | break Link at least 1 | 5,6")]
    [InlineData("1,2\n-3,4\n3,\n1 2,3\n5,6\n", "1,2 | break Link at least 1 | 5,6")]
    [InlineData("1,2\n99999999999999999999999,4\n5,6\n", "1,2 | break Link at least 1 | 5,6")]
    [InlineData("x,y\n5,6\n", "5,6")]
    [InlineData("1,2\n3\nnonsense\n", "1,2 | break Link at least 0")]
    [InlineData("1,2\n3,4,5\n6,7,8\n", "1,2 | break Link at least 1")]
    public void Take_LineThatIsNoScan_IsABreak(string text, string expected) => Assert.Equal(expected, Decode(text).Heard);

    [Theory]
    [InlineData("7,1,2\n8,3,4\n", "1,2 | 3,4", 0)]
    [InlineData("7,1,2\n", "1,2", 0)]
    [InlineData("7,1,2\n8,3,4\n11,5,6\n12,7,8\n", "1,2 | 3,4 | gap 2 Link | 5,6 | 7,8", 0)]
    [InlineData("7,1,2\n8,3,4\n10,5,6\n12,7,8\n14,9,9\n", "1,2 | 3,4 | gap 1 Link | 5,6 | gap 1 Link | 7,8", 0)]
    [InlineData("7,1,2\n8,3,4\n99,5,6\n10,7,8\n11,9,9\n", "1,2 | 3,4 | gap 1 Link | 7,8 | 9,9", 1)]
    [InlineData("7,1,2\n8,3,4\n8,3,4\n9,5,6\n", "1,2 | 3,4 | 5,6", 1)]
    [InlineData("7,1,2\n8,3,4\n0,5,6\n1,7,8\n", "1,2 | 3,4 | break Reset at least 0 | 5,6 | 7,8", 0)]
    [InlineData("7,1,2\n8,3,4\n,5,6\n10,7,8\n11,9,9\n", "1,2 | 3,4 | gap 1 Link | 7,8 | 9,9", 1)]
    [InlineData("1,2\n117,1,2\n118,3,4\n", "1,2 | 3,4", 1)]
    [InlineData("7,1,2\n8,3,4\nnonsense\n9,5\n", "1,2 | 3,4 | break Link at least 0", 2)]
    public void Take_NumberedLines_CountWhatIsMissing(string text, string expected, int refused)
    {
        (string heard, TextLinesDecoder decoder) = Decode(text, numbered: true);

        Assert.Equal(expected, heard);
        Assert.Equal(refused, decoder.LinesRefused);
    }

    [Fact]
    public void Take_CounterWraps_CountsAcross() =>
        Assert.Equal("1,1 | 2,2 | gap 3 Link | 3,3 | 4,4", Decode("252,1,1\n253,2,2\n1,3,3\n2,4,4\n", numbered: true, numberBits: 8).Heard);

    [Fact]
    public void Take_LineWithoutEnd_IsDroppedAtTheNextEnd()
    {
        (string heard, TextLinesDecoder decoder) = Decode("1,2\n" + new string('7', 1_000) + "\n3,4\n");

        Assert.Equal("1,2 | break Link at least 1 | 3,4", heard);
        Assert.Equal(1, decoder.LinesRefused);
        Assert.Equal(1_000, decoder.BytesDiscarded);
    }

    [Fact]
    public void Take_AnyTextInAnyCutting_GivesTheSame() =>
        Gen.Select(Gen.Int[0, Parts.Length - 1].Array[0, 60], Gen.Int[1, 9], Gen.Bool)
            .Sample((parts, cut, numbered) =>
            {
                string text = string.Concat(parts.Select(p => Parts[p]));
                return Decode(text, numbered, cut).Heard == Decode(text, numbered).Heard;
            });

    [Fact]
    public void Interrupt_InsideALine_DropsItAndBreaks()
    {
        var heard = new HeardScans();
        var decoder = new TextLinesDecoder(heard, new TextLinesOptions());

        decoder.Take("1,2\n3,"u8);
        decoder.Interrupt(GapCause.Link);
        decoder.Take("5,6\n"u8);

        Assert.Equal("1,2 | break Link at least 0 | 5,6", heard.ToString());
    }
}
