using System.Text;
using System.Text.Json;
using System.Text.Json.Nodes;

namespace Acquire.Sources.Synthetic;

/// <summary>Small tools for reading descriptions.</summary>
internal static class Spec
{
    /// <summary>"BothWays" as "both-ways".</summary>
    public static string Hyphened(string name)
    {
        StringBuilder text = new();
        foreach (char c in name)
        {
            if (char.IsAsciiLetterUpper(c) && text.Length > 0) text.Append('-');
            text.Append(char.ToLowerInvariant(c));
        }

        return text.ToString();
    }

    /// <summary>A text as a JSON value.</summary>
    public static JsonElement TextElement(string text) => ElementOf(JsonValue.Create(text)!);

    /// <summary>NAME=VALUE settings, a point between nested names, as one JSON object.</summary>
    public static JsonElement Tree(IEnumerable<string> settings)
    {
        JsonObject root = [];
        foreach (string setting in settings)
        {
            int equals = setting.IndexOf('=', StringComparison.Ordinal);
            if (equals < 1)
                throw new SyntheticSpecException($"'{setting}' is no setting; write NAME=VALUE, for example ramp.noise=2.");
            string[] path = setting[..equals].Split('.');
            JsonObject at = root;
            foreach (string name in path[..^1])
            {
                if (!at.ContainsKey(name)) at[name] = new JsonObject();
                at = at[name] as JsonObject
                    ?? throw new SyntheticSpecException($"'{setting}' sets a part of {name}, which has been given a value already; leave one out.");
            }

            if (at.ContainsKey(path[^1]))
                throw new SyntheticSpecException($"{setting[..equals]} is given twice; leave one out.");
            at[path[^1]] = ValueNode(setting[(equals + 1)..], setting);
        }

        return ElementOf(root);
    }

    private static JsonNode? ValueNode(string text, string setting)
    {
        // Lists of objects can be given as JSON; everything else is a text, from which each member takes what it needs.
        if (text.Length == 0 || text[0] is not ('[' or '{')) return JsonValue.Create(text);
        try
        {
            return JsonNode.Parse(text);
        }
        catch (JsonException error)
        {
            throw new SyntheticSpecException($"'{setting}' has a value that looks like JSON and is none; {VisibleText.Flowing(error.Message, VisibleText.LongestInMessage)}", error);
        }
    }

    private static JsonElement ElementOf(JsonNode node)
    {
        using JsonDocument document = JsonDocument.Parse(node.ToJsonString());
        return document.RootElement.Clone();
    }
}
