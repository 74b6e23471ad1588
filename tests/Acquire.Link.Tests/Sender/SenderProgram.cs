namespace Acquire.Link.Tests.Sender;

/// <summary>The sender in C with the program that drives it, compiled once with every warning an error and under both sanitizers.</summary>
public sealed class SenderProgram : IDisposable
{
    private static readonly string[] Flags =
        ["-std=c99", "-Wall", "-Wextra", "-Werror", "-pedantic", "-g", "-fsanitize=address,undefined", "-fno-sanitize-recover=all"];

    private readonly string _folder = Directory.CreateTempSubdirectory("acquire-link-").FullName;
    private readonly Dictionary<string, string> _built = new(StringComparer.Ordinal);

    /// <summary>Calls the sender and gives what it sent; skips the test without a compiler.</summary>
    public byte[] Run(string define, byte[] input, params string[] arguments)
    {
        Tools.Need("gcc");
        lock (_built)
        {
            if (!_built.TryGetValue(define, out string? program))
            {
                program = Path.Combine(_folder, "drive" + _built.Count);
                string sender = Path.Combine(Tools.SenderFolder, "acquire_link.c");
                string drive = Path.Combine(Tools.Root, "tests", "Acquire.Link.Tests", "Sender", "drive.c");
                Tools.Run("gcc", [.. Flags, .. define.Length > 0 ? new[] { "-D" + define } : [], "-I", Tools.SenderFolder, sender, drive, "-o", program]);
                _built[define] = program;
            }

            return Tools.Run(program, arguments, input);
        }
    }

    public void Dispose() => Directory.Delete(_folder, recursive: true);
}
