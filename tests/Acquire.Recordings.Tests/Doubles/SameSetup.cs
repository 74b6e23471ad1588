using System.Collections;
using System.Reflection;

namespace Acquire.Recordings.Tests.Doubles;

/// <summary>Compares two setups member by member; records compare their lists by identity, so their own equality is no help.</summary>
internal static class SameSetup
{
    public static void Check(object? expected, object? actual, string path = "setup")
    {
        if (expected is null || actual is null || expected is string || expected.GetType().IsPrimitive || expected is decimal or Enum)
        {
            Assert.True(Equals(expected, actual), $"{path}: expected {expected}, found {actual}.");
            return;
        }

        if (expected is IReadOnlyDictionary<string, string> table)
        {
            Assert.Equal(table, (IReadOnlyDictionary<string, string>)actual);
            return;
        }

        if (expected is IList list)
        {
            var other = (IList)actual;
            Assert.True(list.Count == other.Count, $"{path}: expected {list.Count} entries, found {other.Count}.");
            for (int i = 0; i < list.Count; i++) Check(list[i], other[i], $"{path}[{i}]");
            return;
        }

        Assert.Equal(expected.GetType(), actual.GetType());
        foreach (PropertyInfo property in expected.GetType().GetProperties(BindingFlags.Public | BindingFlags.Instance).Where(p => p.GetIndexParameters().Length == 0))
            Check(property.GetValue(expected), property.GetValue(actual), $"{path}.{property.Name}");
    }
}
