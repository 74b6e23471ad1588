using System.Text.Json;

namespace Acquire.Recordings.Sigmf;

/// <summary>Walks over the fields of JSON objects and takes their values, with the place in every message.</summary>
internal ref struct SigmfFields
{
    private readonly string _file;

    // Of the objects around this place, the fields that were taken: which of two would hold nobody can say.
    private readonly List<(int Depth, string Name)> _taken = [];
    private Utf8JsonReader _json;
    private string _scope = "";
    private int _item = -1;

    /// <summary>Starts before the first token.</summary>
    public SigmfFields(ReadOnlySpan<byte> utf8, string file, int maxDepth)
    {
        _file = file;
        _json = new Utf8JsonReader(utf8, new JsonReaderOptions { MaxDepth = maxDepth });
    }

    /// <summary>Nesting at this token.</summary>
    public readonly int Depth => _json.CurrentDepth;

    /// <summary>Name of the field whose value comes next.</summary>
    public string Name { get; private set; } = "";

    /// <summary>Enters the object that is the whole file.</summary>
    public void BeginFile()
    {
        _json.Read();
        if (_json.TokenType != JsonTokenType.StartObject)
        {
            throw new RecordingException(RecordingFailure.NotJson,
                $"{VisibleText.Whole(_file)} does not hold one JSON object; a metadata file is an object with \"global\", \"captures\" and \"annotations\".");
        }
    }

    /// <summary>Throws when something follows the object.</summary>
    public void EndFile() => _json.Read();

    /// <summary>Enters the object that is the current value or array item.</summary>
    public void BeginObject(string scope)
    {
        if (_json.TokenType == JsonTokenType.PropertyName)
        {
            TakeOnce();
            _json.Read();
        }

        if (_json.TokenType != JsonTokenType.StartObject) throw Wrong(Token(), "it must be an object");
        _scope = scope;
        int outside = _json.CurrentDepth;
        _taken.RemoveAll(field => field.Depth > outside);
    }

    /// <summary>Moves to the next field of the object, or past its end.</summary>
    public bool NextField()
    {
        _json.Read();
        if (_json.TokenType == JsonTokenType.EndObject)
        {
            // Back outside; only the top level and the global object are ever returned to.
            if (_json.CurrentDepth <= 1) _scope = "";
            return false;
        }

        Name = String();
        return true;
    }

    /// <summary>Moves to the next item of the array that is the current value, or past its end.</summary>
    /// <param name="scope">Name of the array.</param>
    /// <param name="index">Index of the item, for messages.</param>
    public bool NextObject(string scope, int index)
    {
        if (_json.TokenType == JsonTokenType.PropertyName)
        {
            TakeOnce();
            _json.Read();
            if (_json.TokenType != JsonTokenType.StartArray) throw Wrong(Token(), "it must be an array");
        }

        _scope = scope;
        _item = index;
        _json.Read();
        if (_json.TokenType != JsonTokenType.EndArray) return true;
        _scope = "";
        _item = -1;
        return false;
    }

    /// <summary>Passes over the current value, whatever it is.</summary>
    public void Skip() => _json.Skip();

    /// <summary>Takes a text.</summary>
    public string Text()
    {
        TakeOnce();
        _json.Read();
        return _json.TokenType == JsonTokenType.String ? String() : throw Wrong(Token(), "it must be text");
    }

    /// <summary>Takes true or false.</summary>
    public bool Flag()
    {
        TakeOnce();
        _json.Read();
        return _json.TokenType switch
        {
            JsonTokenType.True => true,
            JsonTokenType.False => false,
            _ => throw Wrong(Token(), "it must be true or false"),
        };
    }

    /// <summary>Takes a number.</summary>
    public double Number()
    {
        TakeOnce();
        _json.Read();
        return _json.TokenType == JsonTokenType.Number && _json.TryGetDouble(out double value)
            ? value
            : throw Wrong(Token(), "it must be a number");
    }

    /// <summary>Takes a whole number from 0 to 2^63 - 1, however it is written.</summary>
    public long Index()
    {
        TakeOnce();
        _json.Read();
        if (_json.TokenType != JsonTokenType.Number) throw Wrong(Token(), "it must be a whole number");
        if (!_json.TryGetInt64(out long value))
        {
            if (!_json.TryGetDecimal(out decimal whole) || decimal.Truncate(whole) != whole
                || whole is < long.MinValue or > long.MaxValue)
            {
                throw Wrong(Token(), "it must be a whole number up to 9223372036854775807");
            }

            value = (long)whole;
        }

        return value >= 0 ? value : throw Wrong(Token(), "it must not be negative");
    }

    /// <summary>The exception for a wrong value of the current field.</summary>
    /// <param name="value">The value as it is.</param>
    /// <param name="rule">What it must be.</param>
    public readonly RecordingException Wrong(string value, string rule)
    {
        string scope = _item < 0 ? _scope : $"{_scope}[{_item}]";
        string field = scope.Length == 0 ? VisibleText.Of(Name)
            : string.Equals(Name, _scope, StringComparison.Ordinal) ? scope
            : $"{VisibleText.Of(Name)} in {scope}";
        return new RecordingException(RecordingFailure.FieldWrong,
            $"{VisibleText.Whole(_file)}: {field} is {VisibleText.Of(value)}; {rule}. Correct the metadata.");
    }

    private readonly void TakeOnce()
    {
        (int, string) field = (_json.CurrentDepth, Name);
        if (_taken.Contains(field)) throw Wrong("there twice", "it must be there once");
        _taken.Add(field);
    }

    private string String()
    {
        try
        {
            return _json.GetString() ?? "";
        }
        catch (InvalidOperationException e)
        {
            throw new RecordingException(RecordingFailure.NotJson,
                $"{VisibleText.Whole(_file)}: text near byte {_json.TokenStartIndex} holds what is no character, bytes that are not UTF-8 or half of a surrogate pair behind \\u; correct it there, or save the file as UTF-8.", e);
        }
    }

    private readonly string Token() => _json.TokenType switch
    {
        JsonTokenType.StartObject => "an object",
        JsonTokenType.StartArray => "an array",
        JsonTokenType.Null => "null",
        JsonTokenType.True => "true",
        JsonTokenType.False => "false",
        JsonTokenType.String => $"\"{Start()}\"",
        _ => Start(),
    };

    private readonly string Start() => System.Text.Encoding.UTF8.GetString(_json.ValueSpan[..Math.Min(_json.ValueSpan.Length, 60)]);
}
