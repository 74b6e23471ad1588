using System.Diagnostics;
using System.Runtime.InteropServices;

namespace Acquire.Bench.Speed;

/// <summary>The same columns with numpy (rebin.py), where a python3 has it.</summary>
internal sealed class NumpyLoop : IDisposable
{
    // What the path finds first, and the system's own, for which packages of the system are.
    private static readonly string? Python = Array.Find(["python3", "/usr/bin/python3"], HasNumpy);

    private readonly string _folder = Directory.CreateTempSubdirectory("acquire-bench-").FullName;
    private readonly ChildLoop _child;

    public NumpyLoop(ReadOnlySpan<ushort> words, ReadOnlySpan<int> columnOfCode)
    {
        string wordFile = Write("words", MemoryMarshal.AsBytes(words)), tableFile = Write("table", MemoryMarshal.AsBytes(columnOfCode));
        _child = new ChildLoop(Python!, Path.Combine(AppContext.BaseDirectory, "rebin.py"), wordFile, tableFile);
    }

    public static bool Exists => Python is not null;

    public void Run() => _child.Run();

    public void Dispose()
    {
        _child.Dispose();
        Directory.Delete(_folder, recursive: true);
    }

    private string Write(string name, ReadOnlySpan<byte> bytes)
    {
        string path = Path.Combine(_folder, name);
        File.WriteAllBytes(path, bytes);
        return path;
    }

    private static bool HasNumpy(string python)
    {
        try
        {
            using Process process = Process.Start(new ProcessStartInfo(python, ["-c", "import numpy"]) { RedirectStandardError = true })!;
            process.WaitForExit();
            return process.ExitCode == 0;
        }
        catch (System.ComponentModel.Win32Exception)
        {
            return false;
        }
    }
}
