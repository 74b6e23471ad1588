using Acquire.Harness.Shell;

namespace Acquire.Harness.Tests.Shell;

public class HarnessProgramTests
{
    [Theory]
    [InlineData("frobnicate")]
    [InlineData("--no-such-option")]
    [InlineData]
    public void Run_WrongUsage_IsOneLineAndTwo(params string[] args)
    {
        (int code, string output, string error) = Run(args);

        Assert.Equal(ExitCode.Usage, code);
        Assert.Empty(output);
        Assert.StartsWith("acquire: ", error, StringComparison.Ordinal);
        Assert.Single(error.TrimEnd('\n').Split('\n'));
    }

    [Theory]
    [InlineData("'frobnicate' is no verb", "frobnicate")]
    [InlineData("the verbs are demo, replay", "frobnicate")]
    [InlineData("RECORDING is missing", "replay")]
    [InlineData("--json took 'capture'", "replay", "--json", "capture")]
    [InlineData("acquire replay --help", "replay", "one", "two")]
    [InlineData("--out", "synth")]
    public void Run_WrongUsage_SaysWhatToWrite(string said, params string[] args)
    {
        Assert.Contains(said, Run(args).Error, StringComparison.Ordinal);
    }

    [Fact]
    public void Run_Help_IsPrintedForPeople()
    {
        (int code, string output, string error) = Run(["--help"]);

        Assert.Equal(ExitCode.Done, code);
        Assert.Contains("Usage", output, StringComparison.Ordinal);
        Assert.Empty(error);
    }

    [Fact]
    public void OneLine_TextWithLineEndsAndEscapes_HasNone()
    {
        string line = HarnessProgram.LineOf("a\r\nb\u001b[31mc" + new string('x', 5_000));

        Assert.DoesNotContain(line, char.IsControl);
        Assert.True(line.Length < 1_100);
    }

    private static (int Code, string Output, string Error) Run(string[] args)
    {
        using StringWriter output = new(), error = new();
        int code = HarnessProgram.Run(args, output, error, TestContext.Current.CancellationToken);
        return (code, output.ToString(), error.ToString());
    }
}
