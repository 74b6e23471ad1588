using System.Globalization;
using Acquire.Capture;
using Acquire.Recordings;

namespace Acquire.Sources.Names;

/// <summary>The options behind the question mark of a source's name, each read once; what nobody read is refused.</summary>
internal sealed class NameOptions
{
    private readonly string _name;
    private readonly List<(string Key, string Value)> _options = [];
    private readonly List<string> _asked = [];

    private NameOptions(string name) => _name = name;

    /// <summary>Parts a name from its options.</summary>
    /// <param name="name">The whole name, for messages.</param>
    /// <param name="rest">What follows the kind.</param>
    /// <param name="target">What stands before the question mark.</param>
    public static NameOptions Split(string name, string rest, out string target)
    {
        NameOptions options = new(name);
        int mark = rest.LastIndexOf('?');
        target = mark < 0 ? rest : rest[..mark];
        if (mark < 0) return options;
        foreach (string option in rest[(mark + 1)..].Split('&', StringSplitOptions.RemoveEmptyEntries))
        {
            int equals = option.IndexOf('=', StringComparison.Ordinal);
            if (equals <= 0) throw SourceName.Wrong(name, $"'{option}' is no option; write NAME=VALUE behind the question mark, with & between options");
            string key = option[..equals];
            if (options._options.Exists(o => string.Equals(o.Key, key, StringComparison.Ordinal))) throw SourceName.Wrong(name, $"{key} is given twice; give it once");
            options._options.Add((key, option[(equals + 1)..]));
        }

        return options;
    }

    public bool Has(string key) => Text(key) is not null;

    public string? Text(string key)
    {
        if (!_asked.Contains(key)) _asked.Add(key);
        int index = _options.FindIndex(o => string.Equals(o.Key, key, StringComparison.Ordinal));
        return index < 0 ? null : _options[index].Value;
    }

    public string Word(string key, string usual, params ReadOnlySpan<string> words)
    {
        string word = Text(key) ?? usual;
        return words.Contains(word) ? word : throw SourceName.Wrong(_name, $"{key} is '{word}'; write one of {string.Join(", ", words!)}");
    }

    public bool? Switch(string key, string on, string off) =>
        Has(key) ? string.Equals(Word(key, off, on, off), on, StringComparison.Ordinal) : null;

    /// <summary>Bits of a counter: as many as a number says, yes for the usual ones, no or nothing for no counter.</summary>
    public int? Counter(string key, int usual, int least, int most)
    {
        switch (Text(key))
        {
            case null or "no":
                return null;
            case "yes":
                return usual;
            case var text when int.TryParse(text, NumberStyles.None, CultureInfo.InvariantCulture, out int bits) && bits >= least && bits <= most:
                return bits;
            case var text:
                throw SourceName.Wrong(_name, $"{key} is '{text}'; write yes or no, or the bits of the device's counter, {least} to {most}");
        }
    }

    public long Whole(string key, long usual, long most)
    {
        if (Text(key) is not { } text) return usual;
        if (!Recordings.Quantity.TryParse(text, "", out decimal value, out string? problem)) throw SourceName.Wrong(_name, $"{key}: {problem.TrimEnd('.')}");
        if (value < 1 || value > most || value != decimal.Truncate(value))
            throw SourceName.Wrong(_name, $"{key} is {text}; write a whole number from 1 to {most.ToString(CultureInfo.InvariantCulture)}");
        return (long)value;
    }

    public double Quantity(string key, string unit)
    {
        string text = Text(key)!;
        if (!Recordings.Quantity.TryParse(text, unit, out decimal value, out string? problem)) throw SourceName.Wrong(_name, $"{key}: {problem.TrimEnd('.')}");
        return value > 0 ? (double)value : throw SourceName.Wrong(_name, $"{key} is {text}; write more than 0");
    }

    public double Number(string key) => Quantity(key, "");

    public TimeSpan Seconds(string key, string text)
    {
        if (!Recordings.Quantity.TryParse(text, "s", out decimal value, out string? problem)) throw SourceName.Wrong(_name, $"{key}: {problem.TrimEnd('.')}");
        return value is >= 0 and <= 2_000_000 ? TimeSpan.FromSeconds((double)value) : throw SourceName.Wrong(_name, $"{key} is {text}; write 0 s to 2000000 s");
    }

    /// <summary>Roles by name, or as many channels as a number says: ramp, vertical, and the rest auxiliary.</summary>
    public IReadOnlyList<ChannelRole>? Roles(string key)
    {
        if (Text(key) is not { } text) return null;
        if (int.TryParse(text, NumberStyles.None, CultureInfo.InvariantCulture, out int count) && count is >= 2 and <= ScanFormat.MaxChannels)
            return [.. Enumerable.Range(0, count).Select(c => c switch { 0 => ChannelRole.Ramp, 1 => ChannelRole.Vertical, _ => ChannelRole.Auxiliary })];
        List<ChannelRole> roles = [];
        foreach (string word in text.Split(','))
        {
            roles.Add(word switch
            {
                "ramp" => ChannelRole.Ramp,
                "vertical" => ChannelRole.Vertical,
                "blanking" => ChannelRole.Blanking,
                "auxiliary" => ChannelRole.Auxiliary,
                _ => throw SourceName.Wrong(_name, $"{key} is '{text}'; write the roles in scan order (ramp, vertical, blanking, auxiliary) with commas, or how many there are, 2 to {ScanFormat.MaxChannels}"),
            });
        }

        new ScanFormat { Roles = roles }.Validate();
        return roles;
    }

    /// <summary>A name with the options that nobody asked for.</summary>
    public string Rest(string target)
    {
        string[] rest = [.. _options.Where(o => !_asked.Contains(o.Key)).Select(o => $"{o.Key}={o.Value}")];
        return rest.Length == 0 ? target : $"{target}?{string.Join('&', rest)}";
    }

    /// <summary>Refuses what nobody asked for.</summary>
    public void Finish()
    {
        foreach ((string key, _) in _options)
            if (!_asked.Contains(key)) throw SourceName.Wrong(_name, $"the option {key} is not known here; options are {string.Join(", ", _asked)}");
    }
}
