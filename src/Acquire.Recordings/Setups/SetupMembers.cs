using System.Text.Json;

namespace Acquire.Recordings.Setups;

/// <summary>The members of one JSON object of a setup file: each is taken by name; what nobody took is unknown.</summary>
internal sealed class SetupMembers
{
    private readonly string _file;
    private readonly string _path;
    private readonly Dictionary<string, JsonElement> _members = new(StringComparer.Ordinal);
    private readonly List<string> _known = [];

    /// <summary>Takes an object apart.</summary>
    /// <param name="file">Name of the file, for messages.</param>
    /// <param name="path">Path of the object in the file, empty for the file itself.</param>
    /// <param name="value">The object.</param>
    public SetupMembers(string file, string path, JsonElement value)
    {
        _file = file;
        _path = path;
        if (value.ValueKind != JsonValueKind.Object) throw Wrong(file, path, value, "it must be an object in braces");
        foreach (JsonProperty property in value.EnumerateObject())
        {
            if (!_members.TryAdd(property.Name, property.Value))
            {
                throw new SetupFileException(SetupFileFailure.MemberUnknown,
                    $"{VisibleText.Whole(file)}: {VisibleText.Of(PathOf(property.Name))} is there twice; keep one.", PathOf(property.Name));
            }
        }
    }

    /// <summary>Path of a member in the file.</summary>
    public string PathOf(string name) => _path.Length == 0 ? name : $"{_path}.{name}";

    /// <summary>Takes an object; null where it is missing or null.</summary>
    public SetupMembers? Object(string name) =>
        TryTake(name, out JsonElement value) && value.ValueKind != JsonValueKind.Null
            ? new SetupMembers(_file, PathOf(name), value) : null;

    /// <summary>Takes an array's items with their paths; none where it is missing.</summary>
    public IEnumerable<(string Path, JsonElement Value)> Items(string name)
    {
        if (!TryTake(name, out JsonElement value)) return [];
        if (value.ValueKind != JsonValueKind.Array) throw Wrong(_file, PathOf(name), value, "it must be a list in square brackets");
        return value.EnumerateArray().Select((item, i) => ($"{PathOf(name)}[{i}]", item));
    }

    /// <summary>Takes an array of objects.</summary>
    public IEnumerable<SetupMembers> Objects(string name) => Items(name).Select(i => new SetupMembers(_file, i.Path, i.Value));

    /// <summary>Takes an array of words for choices.</summary>
    public List<T> Choices<T>(string name, (T Value, string Word)[] words) =>
        [.. Items(name).Select(i => Choice(i.Path, i.Value, words))];

    /// <summary>Takes an array of texts.</summary>
    public List<string> Texts(string name) =>
        [.. Items(name).Select(i => i.Value.ValueKind == JsonValueKind.String
            ? Text(i.Path, i.Value) : throw Wrong(_file, i.Path, i.Value, "it must be text in quotes"))];

    /// <summary>Takes a word for a choice.</summary>
    public T Choice<T>(string name, (T Value, string Word)[] words, T missing) =>
        TryTake(name, out JsonElement value) ? Choice(PathOf(name), value, words) : missing;

    /// <summary>Takes a text; null where it is missing or null.</summary>
    public string? Text(string name)
    {
        if (!TryTake(name, out JsonElement value) || value.ValueKind == JsonValueKind.Null) return null;
        return value.ValueKind == JsonValueKind.String
            ? Text(PathOf(name), value) : throw Wrong(_file, PathOf(name), value, "it must be text in quotes");
    }

    /// <summary>Takes true or false; null where it is missing or null.</summary>
    public bool? Flag(string name)
    {
        if (!TryTake(name, out JsonElement value)) return null;
        return value.ValueKind switch
        {
            JsonValueKind.True => true,
            JsonValueKind.False => false,
            JsonValueKind.Null => null,
            _ => throw Wrong(_file, PathOf(name), value, "it must be true or false"),
        };
    }

    /// <summary>Takes a whole number; null where it is missing or null.</summary>
    public int? Whole(string name, int least, int most)
    {
        if (!TryTake(name, out JsonElement value) || value.ValueKind == JsonValueKind.Null) return null;
        return value.ValueKind == JsonValueKind.Number && value.TryGetInt32(out int number) && number >= least && number <= most
            ? number : throw Wrong(_file, PathOf(name), value, least == most ? $"it must be {least}" : $"it must be a whole number from {least} to {most}");
    }

    /// <summary>Takes an exact number or a quantity in text; null where it is missing or null.</summary>
    public decimal? Exact(string name, string unit)
    {
        if (!TryTake(name, out JsonElement value) || value.ValueKind == JsonValueKind.Null) return null;
        if (value.ValueKind == JsonValueKind.String) return InText(name, value, unit);

        // A decimal rounds what has more digits than it holds; the own parser refuses that.
        return value.ValueKind == JsonValueKind.Number && Quantity.TryParse(value.GetRawText(), "", out decimal number, out _)
            ? number : throw Wrong(_file, PathOf(name), value, $"it must be a number of at most 28 digits or a text such as \"1.5 {unit}\"");
    }

    /// <summary>Takes a number or a quantity in text; null where it is missing or null.</summary>
    public double? Number(string name, string unit)
    {
        if (!TryTake(name, out JsonElement value) || value.ValueKind == JsonValueKind.Null) return null;
        if (value.ValueKind == JsonValueKind.String) return (double)InText(name, value, unit);
        return value.ValueKind == JsonValueKind.Number && value.TryGetDouble(out double number) && double.IsFinite(number)
            ? number : throw Wrong(_file, PathOf(name), value, unit.Length == 0 ? "it must be a number" : $"it must be a number or a text such as \"1.5 {unit}\"");
    }

    /// <summary>Takes a table of texts.</summary>
    public Dictionary<string, string> Table(string name)
    {
        var table = new Dictionary<string, string>(StringComparer.Ordinal);
        if (Object(name) is not { } members) return table;
        foreach (string key in members._members.Keys)
            table.Add(key, members.Text(key) ?? throw members.Wrong(key, "null", "it must be text in quotes"));
        return table;
    }

    /// <summary>Whether a member is there, null included.</summary>
    public bool Has(string name) => _members.ContainsKey(name);

    /// <summary>The exception for a member that must be there.</summary>
    public SetupFileException Missing(string name) =>
        new(SetupFileFailure.MemberMissing, $"{VisibleText.Whole(_file)}: {PathOf(name)} is missing; add it.", PathOf(name));

    /// <summary>The exception for a member whose value breaks a rule.</summary>
    public SetupFileException Wrong(string name, object value, string rule) => Wrong(_file, PathOf(name), $"{value}", rule);

    /// <summary>Throws when there is a member that nobody took.</summary>
    public void End()
    {
        foreach (string name in _members.Keys)
        {
            if (_known.Contains(name)) continue;
            throw new SetupFileException(SetupFileFailure.MemberUnknown,
                $"{VisibleText.Whole(_file)}: {VisibleText.Of(PathOf(name))} is not known; {(_path.Length == 0 ? "the file" : _path)} has {string.Join(", ", _known)}. Correct the name or remove it.",
                PathOf(name));
        }
    }

    private static SetupFileException Wrong(string file, string path, JsonElement value, string rule) =>
        Wrong(file, path, value.GetRawText(), rule);

    private static SetupFileException Wrong(string file, string path, string value, string rule) =>
        new(SetupFileFailure.ValueWrong,
            $"{VisibleText.Whole(file)}: {VisibleText.Of(path.Length == 0 ? "the file" : path)} is {VisibleText.Of(value)}; {rule}.", path);

    private bool TryTake(string name, out JsonElement value)
    {
        _known.Add(name);
        return _members.TryGetValue(name, out value);
    }

    private decimal InText(string name, JsonElement value, string unit)
    {
        if (!Quantity.TryParse(Text(PathOf(name), value), unit, out decimal number, out string? problem))
        {
            throw new SetupFileException(SetupFileFailure.ValueWrong,
                $"{VisibleText.Whole(_file)}: {PathOf(name)}: {problem}", PathOf(name));
        }

        return number;
    }

    private T Choice<T>(string path, JsonElement value, (T Value, string Word)[] words)
    {
        if (value.ValueKind == JsonValueKind.String)
        {
            string text = Text(path, value);
            foreach ((T known, string word) in words)
                if (string.Equals(word, text, StringComparison.Ordinal)) return known;
        }

        throw Wrong(_file, path, value, $"it must be one of \"{string.Join("\", \"", words.Select(w => w.Word))}\"");
    }

    private string Text(string path, JsonElement value)
    {
        try
        {
            return value.GetString() ?? "";
        }
        catch (InvalidOperationException e)
        {
            throw new SetupFileException(SetupFileFailure.NotJson,
                $"{VisibleText.Whole(_file)}: the text of {VisibleText.Of(path)} holds what is no character, bytes that are not UTF-8 or half of a surrogate pair behind \\u; correct it there, or save the file as UTF-8.", path, e);
        }
    }
}
