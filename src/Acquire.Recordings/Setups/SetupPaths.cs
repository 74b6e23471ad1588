using System.Text.Json;

namespace Acquire.Recordings.Setups;

/// <summary>Paths of members in a setup file: names joined by points, list items by their index in brackets.</summary>
internal static class SetupPaths
{
    /// <summary>Whether a path leads to a member.</summary>
    public static bool Exists(JsonElement root, string path)
    {
        JsonElement at = root;
        foreach (string step in path.Split('.'))
        {
            string[] parts = step.Split('[');
            if (at.ValueKind != JsonValueKind.Object || !at.TryGetProperty(parts[0], out at)) return false;
            foreach (string part in parts.Skip(1))
            {
                if (!part.EndsWith(']') || !int.TryParse(part.AsSpan()[..^1], out int index)) return false;
                if (at.ValueKind != JsonValueKind.Array || index < 0 || index >= at.GetArrayLength()) return false;
                at = at[index];
            }
        }

        return true;
    }
}
