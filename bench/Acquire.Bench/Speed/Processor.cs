using System.Globalization;
using System.Text.RegularExpressions;

namespace Acquire.Bench.Speed;

/// <summary>What the system says of its processor.</summary>
/// <param name="Name">Name and clock, as text.</param>
/// <param name="FolderName">The same as the name of a folder.</param>
internal sealed partial record Processor(string Name, string FolderName)
{
    public static Processor Read()
    {
        string told = File.Exists("/proc/cpuinfo") ? File.ReadAllText("/proc/cpuinfo") : "";
        string model = Model().Match(told) is { Success: true } m ? m.Groups[1].Value.Trim() : "a processor without a name";
        string clock = Clock().Match(told) is { Success: true } c
            ? string.Create(CultureInfo.InvariantCulture, $"{double.Parse(c.Groups[1].Value, CultureInfo.InvariantCulture) / 1000:0.0}")
            : "";
        string folder = NoLetter().Replace(model.ToLowerInvariant(), "-").Trim('-');
        return clock.Length == 0 ? new(model, folder) : new($"{model} at {clock} GHz", $"{folder}-{clock}GHz");
    }

    [GeneratedRegex("^model name\\s*:(.*)$", RegexOptions.Multiline)]
    private static partial Regex Model();

    [GeneratedRegex("^cpu MHz\\s*:\\s*([0-9.]+)$", RegexOptions.Multiline)]
    private static partial Regex Clock();

    [GeneratedRegex("[^a-z0-9]+")]
    private static partial Regex NoLetter();
}
