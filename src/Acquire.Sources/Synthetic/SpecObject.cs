using System.Text.Json;

namespace Acquire.Sources.Synthetic;

/// <summary>One object of a bench's description; whatever was not asked for is an unknown member.</summary>
internal sealed class SpecObject
{
    private readonly Dictionary<string, JsonElement> _members = new(StringComparer.Ordinal);
    private readonly List<string> _known = [];
    private readonly string _path;

    public SpecObject(SpecValue value)
    {
        _path = value.Name;
        if (!value.IsObject) throw value.Wrong("an object with members");
        foreach (JsonProperty property in value.Element.EnumerateObject())
        {
            if (!_members.TryAdd(property.Name, property.Value))
                throw new SyntheticSpecException($"{NameOf(property.Name)} is given twice; leave one out.");
        }
    }

    /// <summary>Value of a member, or null where it is not there.</summary>
    public SpecValue? this[string member]
    {
        get
        {
            _known.Add(member);
            return _members.Remove(member, out JsonElement element) ? new SpecValue(element, NameOf(member)) : null;
        }
    }

    public double Number(string member, double otherwise, string unit = "") => this[member]?.Number(unit) ?? otherwise;

    public double? NumberOrNone(string member, double? otherwise, string unit = "") =>
        this[member] is not { } value ? otherwise : value.IsNone ? null : value.Number(unit);

    public bool Flag(string member, bool otherwise) => this[member]?.Flag() ?? otherwise;

    public long? Whole(string member, long? otherwise) => this[member] is not { } value ? otherwise : value.IsNone ? null : value.Whole();

    public int Count(string member, int otherwise) => this[member]?.Count() ?? otherwise;

    /// <summary>Reads a member that is an object itself.</summary>
    public T? Part<T>(string member, T? otherwise, Func<SpecObject, T> read)
        where T : class
    {
        if (this[member] is not { } value) return otherwise;
        if (value.IsNone) return null;
        SpecObject part = new(value);
        T result = read(part);
        part.Finish();
        return result;
    }

    /// <summary>Reads a member that is a list of objects.</summary>
    public IReadOnlyList<T> Parts<T>(string member, IReadOnlyList<T> otherwise, Func<SpecObject, T> read)
    {
        if (this[member] is not { } value) return otherwise;
        if (value.IsNone) return [];
        List<T> parts = [];
        foreach (SpecValue entry in value.List())
        {
            SpecObject part = new(entry);
            parts.Add(read(part));
            part.Finish();
        }

        return parts;
    }

    /// <summary>A member without which the object means nothing.</summary>
    public SpecValue Needed(string member) =>
        this[member] ?? throw new SyntheticSpecException($"{NameOf(member)} is missing; give it.");

    public void Finish()
    {
        if (_members.Count == 0) return;
        string unknown = _members.Keys.Order(StringComparer.Ordinal).First();
        throw new SyntheticSpecException($"{NameOf(unknown)} is not known; known here are {string.Join(", ", _known.Distinct(StringComparer.Ordinal).Order(StringComparer.Ordinal))}.");
    }

    private string NameOf(string member) => _path.Length == 0 ? member : $"{_path}.{member}";
}
