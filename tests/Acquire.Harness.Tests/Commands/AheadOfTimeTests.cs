using Acquire.Harness.Shell;
using Acquire.Harness.Tests.Doubles;

namespace Acquire.Harness.Tests.Commands;

/// <summary>The command published ahead of time: it starts on every processor, and says the same as under the JIT.</summary>
public sealed class AheadOfTimeTests(PublishedCommand published) : IClassFixture<PublishedCommand>
{
    private const string Program = "Acquire.Harness";
    private static readonly string[] Replay = ["replay", "through", "--bits", "12", "--jsonl", "-"];

    [Theory]
    [InlineData("acquire")]
    [InlineData("x86-64-v2", Program)]
    public void Published_Replay_SaysWhatTheJitSays(params string[] program)
    {
        CommandResult expected = AcquireCommand.Run(Replay).AssertDone();

        CommandResult actual = PublishedCommand.Run(published.PathOf(program), Replay).AssertDone();

        Assert.Equal(expected.Output, actual.Output);
    }

    [Fact]
    public void Published_WrongUsage_GivesTheCommandsExitCode()
    {
        PublishedCommand.Run(published.PathOf("acquire"), "frobnicate").AssertFailed(ExitCode.Usage, "frobnicate");
    }

    [Fact]
    public void Published_ProcessorWithout256Bits_RunsTheProgramFor128()
    {
        PublishedCommand.Need("qemu-x86_64");
        string program = published.PathOf("x86-64-v2", Program);
        CommandResult expected = AcquireCommand.Run(Replay).AssertDone();

        CommandResult actual = PublishedCommand.Run("qemu-x86_64", ["-cpu", "Nehalem", program, .. Replay]);

        Assert.Equal(expected.Output, actual.AssertDone().Output);
    }

    // Else the two programs would be one, and the wide path not there: the runtime refuses a processor that lacks what the program was compiled for.
    [Fact]
    public void Published_WideProgramOnAProcessorWithout256Bits_Ends()
    {
        PublishedCommand.Need("qemu-x86_64");

        CommandResult result = PublishedCommand.Run("qemu-x86_64", ["-cpu", "Nehalem", published.PathOf("x86-64-v3", Program), .. Replay]);

        Assert.NotEqual(ExitCode.Done, result.ExitCode);
        Assert.Empty(result.Output);
        Assert.Contains("required instruction sets", result.Error, StringComparison.Ordinal);
    }

    // Processors by what they have: x86-64 psABI, table 3.1 (x86-64-v2 has SSE4.2, x86-64-v3 has AVX2 and BMI2), gitlab.com/x86-psABIs.
    // Nehalem has SSE4.2, Sandy Bridge AVX without AVX2, Haswell AVX2.
    [Theory]
    [InlineData("Nehalem", "x86-64-v2")]
    [InlineData("SandyBridge", "x86-64-v2")]
    [InlineData("Haswell", "x86-64-v3")]
    public void Start_Processor_ChoosesTheProgramThatItCanRun(string processor, string level)
    {
        PublishedCommand.Need("qemu-x86_64");
        using var folder = new ScratchFolder();
        string start = BuildStart(folder);

        CommandResult result = PublishedCommand.Run("qemu-x86_64", "-cpu", processor, start, "replay", "two words").AssertDone();

        Assert.Equal($"{level}\nreplay\ntwo words\n", result.Output);
    }

    [Fact]
    public void Start_ProcessorBelowAllLevels_SaysWhatItLacks()
    {
        PublishedCommand.Need("qemu-x86_64");
        using var folder = new ScratchFolder();

        // qemu64 is the emulator's least processor; with SSSE3, SSE4 and POPCNT off it is x86-64-v1.
        CommandResult result = PublishedCommand.Run("qemu-x86_64", "-cpu", "qemu64,-ssse3,-sse4.1,-sse4.2,-popcnt", BuildStart(folder), "demo");

        Assert.Equal(ExitCode.Unreadable, result.ExitCode);
        Assert.Contains("x86-64-v2", result.Error, StringComparison.Ordinal);
        Assert.Empty(result.Output);
    }

    [Fact]
    public void Start_ProgramsNotBesideIt_SaysWhichIsMissing()
    {
        using var folder = new ScratchFolder();
        string start = BuildStart(folder);
        foreach (string level in (string[])["x86-64-v2", "x86-64-v3"]) Directory.Delete(Path.Combine(folder.Path, level), recursive: true);

        PublishedCommand.Run(start, "demo").AssertFailed(ExitCode.Unreadable, Program);
    }

    // The start alone, with scripts in place of the programs: they print their level and what they were given.
    private static string BuildStart(ScratchFolder folder)
    {
        PublishedCommand.Need("gcc");
        foreach (string level in (string[])["x86-64-v2", "x86-64-v3"])
        {
            Directory.CreateDirectory(Path.Combine(folder.Path, level));
            string script = folder.Write(Path.Combine(level, Program), $"#!/bin/sh\nprintf '%s\\n' {level} \"$@\"\n");
            PublishedCommand.Run("chmod", "+x", script).AssertDone();
        }

        string start = Path.Combine(folder.Path, "acquire");
        PublishedCommand.Run("gcc", "-O2", "-Wall", "-Wextra", "-Werror", "-o", start, Path.Combine(PublishedCommand.Sources, "start.c")).AssertDone();
        return start;
    }
}
