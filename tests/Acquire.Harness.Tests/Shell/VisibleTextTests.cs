using Acquire.Harness.Output;

namespace Acquire.Harness.Tests.Shell;

public class VisibleTextTests
{
    [Theory]
    [InlineData("plain, as it is", "plain, as it is")]
    [InlineData("\u00b5V \u03a9 na\u00efve \u6f22\u5b57", "\u00b5V \u03a9 na\u00efve \u6f22\u5b57")]
    [InlineData("bell\u0007 \u001b[2J", @"bell\u0007 \u001b[2J")]
    [InlineData("two\r\nlines", @"two\u000d\u000alines")]
    [InlineData("turned\u202e round", @"turned\u202e round")]
    [InlineData("next\u0085 line\u2028", @"next\u0085 line\u2028")]
    [InlineData("tag\U000e0041", @"tag\U000e0041")]
    public void Of_TextOfOthers_IsWrittenOutWhereATerminalWouldObey(string given, string shown)
    {
        Assert.Equal(shown, VisibleText.Of(given));
        Assert.Equal(shown, VisibleText.Whole(given));
    }

    [Theory]
    [InlineData(120, "")]
    [InlineData(121, "...")]
    public void Of_LongText_IsCutAndSaysSo(int length, string end)
    {
        string shown = VisibleText.Of(new string('x', length), longest: 120);

        Assert.Equal(new string('x', 120) + end, shown);
    }

    [Fact]
    public void Flowing_SeveralLines_AreOne() => Assert.Equal(@"a b c d\u0007", VisibleText.Flowing("a\r\nb\nc\td\a", longest: 100));

    [Fact]
    public void PeopleTables_NamesWithControls_AreWrittenOut()
    {
        using StringWriter output = new();
        PeopleTables tables = new(output, plain: true);

        tables.Line("a\u001b[31m\nb");
        tables.Table("head\u0007", ["name"], [["cell\u001b]0;x"]]);

        Assert.DoesNotContain(output.ToString(), c => char.IsControl(c) && c != '\n');
        Assert.StartsWith(@"a\u001b[31m\u000ab" + "\n", output.ToString(), StringComparison.Ordinal);
        Assert.Contains(@"cell\u001b]0;x", output.ToString(), StringComparison.Ordinal);
    }
}
