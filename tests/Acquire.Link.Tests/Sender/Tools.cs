using System.Diagnostics;

namespace Acquire.Link.Tests.Sender;

/// <summary>Runs compilers and what they make.</summary>
internal static class Tools
{
    public static string Root { get; } = FindRoot();

    public static string SenderFolder => Path.Combine(Root, "src", "Acquire.Link.C");

    /// <summary>Whether a program is on the path.</summary>
    public static bool Has(string program) =>
        (Environment.GetEnvironmentVariable("PATH") ?? "").Split(Path.PathSeparator).Any(folder => File.Exists(Path.Combine(folder, program)));

    /// <summary>Skips the test where a program is missing.</summary>
    public static void Need(string program) =>
        Assert.SkipUnless(Has(program), $"{program} is not on this machine, so the sender in C cannot be compiled.");

    /// <summary>Runs a program to its end; it must succeed and say nothing on standard error.</summary>
    public static byte[] Run(string program, IEnumerable<string> arguments, byte[]? input = null)
    {
        var start = new ProcessStartInfo(program, arguments)
        {
            RedirectStandardInput = true,
            RedirectStandardOutput = true,
            RedirectStandardError = true,
        };
        using Process process = Process.Start(start) ?? throw new InvalidOperationException($"{program} did not start.");
        Task<string> errors = process.StandardError.ReadToEndAsync();
        var output = new MemoryStream();
        Task copy = process.StandardOutput.BaseStream.CopyToAsync(output);
        process.StandardInput.BaseStream.Write(input ?? []);
        process.StandardInput.Close();
        Task.WaitAll(copy, errors);
        process.WaitForExit();
        Assert.True(process.ExitCode == 0 && errors.Result.Length == 0, $"{program} ended with {process.ExitCode}: {errors.Result}");
        return output.ToArray();
    }

    private static string FindRoot()
    {
        for (DirectoryInfo? folder = new(AppContext.BaseDirectory); folder is not null; folder = folder.Parent)
            if (File.Exists(Path.Combine(folder.FullName, "Acquire.sln"))) return folder.FullName;
        throw new InvalidOperationException($"No folder above {AppContext.BaseDirectory} holds Acquire.sln; run the tests from a working tree.");
    }
}
