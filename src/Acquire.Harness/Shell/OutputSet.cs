namespace Acquire.Harness.Shell;

/// <summary>All outputs of one run: opened before the run, so that an output that cannot be written costs no run, and named when it has ended.</summary>
internal sealed class OutputSet : IDisposable
{
    private readonly Dictionary<string, OutputFile> _byOption = new(StringComparer.Ordinal);

    private readonly IReadOnlyList<(string Option, string Path)> _byOthers;

    private OutputSet(bool usesStandardOutput, IReadOnlyList<(string Option, string Path)> byOthers)
    {
        UsesStandardOutput = usesStandardOutput;
        _byOthers = byOthers;
    }

    /// <summary>Standard output carries machine output: nothing else may go there.</summary>
    public bool UsesStandardOutput { get; }

    /// <summary>Files written, each with the option that asked for it.</summary>
    public IEnumerable<(string Option, string Path)> Files =>
        _byOption.Where(o => o.Value.Path is not OutputFile.Standard).Select(o => (o.Key, o.Value.Path)).Concat(_byOthers);

    /// <summary>Opens all outputs.</summary>
    /// <param name="outputs">Option and path of each.</param>
    /// <param name="inputs">Files that the run reads and that must not be written over.</param>
    /// <param name="byOthers">Files that somebody else opens and names: they only have to be free.</param>
    /// <exception cref="CommandFailure">Two outputs have one place, one is an input, or one cannot be written.</exception>
    public static OutputSet Open(IEnumerable<(string Option, string Path)> outputs, IEnumerable<string> inputs, IReadOnlyList<(string Option, string Path)>? byOthers = null)
    {
        byOthers ??= [];
        (string Option, string Path)[] all = [.. outputs];
        HashSet<string> read = [.. inputs.Select(PlaceOf)];
        Dictionary<string, string> taken = new(StringComparer.Ordinal);
        foreach ((string option, string path) in all.Concat(byOthers))
        {
            if (path.Length == 0) throw CommandFailure.Usage(option, "the file's name is empty; give a name, or - for standard output");
            string place = path is OutputFile.Standard ? path : PlaceOf(path);
            if (read.Contains(place)) throw CommandFailure.Usage(option, $"{path} is being read; write to another file");
            if (!taken.TryAdd(place, option))
                throw CommandFailure.Usage(option, $"{taken[place]} already writes to {(path is OutputFile.Standard ? "standard output" : path)}; give one of them another file");
        }

        OutputSet set = new(all.Any(o => o.Path is OutputFile.Standard), byOthers);
        try
        {
            foreach ((string option, string path) in all) set._byOption.Add(option, OutputFile.Open(path));
            return set;
        }
        catch
        {
            set.Dispose();
            throw;
        }
    }

    /// <summary>The stream of an option, or null where it was not given.</summary>
    /// <param name="option">Name of the option.</param>
    public Stream? StreamOf(string option) => _byOption.GetValueOrDefault(option)?.Stream;

    /// <summary>Every output is whole: files get their names.</summary>
    public void Commit()
    {
        foreach (OutputFile output in _byOption.Values) output.Commit();
    }

    /// <summary>Takes away what was not committed.</summary>
    public void Dispose()
    {
        foreach (OutputFile output in _byOption.Values) output.Dispose();
    }

    // Links are followed when a file is read and when one is written, so two names may be one file.
    private static string PlaceOf(string path)
    {
        try
        {
            return Path.GetFullPath(FileLinks.Followed(path));
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException)
        {
            return Path.GetFullPath(path); // whoever opens it says why it cannot be followed
        }
    }
}
