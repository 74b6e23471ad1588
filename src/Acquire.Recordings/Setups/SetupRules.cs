using Acquire.Scales;

namespace Acquire.Recordings.Setups;

/// <summary>Rules about lists of points.</summary>
internal static class SetupRules
{
    /// <summary>What is wrong with a vertical's level points, or null.</summary>
    public static string? Level(VerticalScale scale, List<LevelPoint> points)
    {
        if (points.Count == 0) return null;
        if (scale.Law != VerticalLaw.Logarithmic)
        {
            if (points.Count != 1) return "a linear law takes exactly one";
            return points[0].Volts != scale.ZeroVolts ? null : "its volts must differ from zeroVolts";
        }

        if (points.Count < 2) return "a logarithmic law takes two or more";
        int volts = points[1].Volts.CompareTo(points[0].Volts), level = points[1].LevelDb.CompareTo(points[0].LevelDb);
        for (int i = 1; i < points.Count; i++)
        {
            if (volts == 0 || points[i].Volts.CompareTo(points[i - 1].Volts) != volts) return "their volts must rise or fall all the way";
            if (level == 0 || points[i].LevelDb.CompareTo(points[i - 1].LevelDb) != level) return "their levels must rise or fall all the way";
        }

        return null;
    }

    /// <summary>What is wrong with an axis' shape, or null.</summary>
    public static string? Shape(List<ShapePoint> points)
    {
        if (points.Count == 0) return null;
        if (points.Count < 2 || points[0] != new ShapePoint(0, 0) || points[^1] != new ShapePoint(1, 1))
            return "they must run from fraction 0, share 0 to fraction 1, share 1";
        for (int i = 1; i < points.Count; i++)
            if (points[i].Fraction <= points[i - 1].Fraction || points[i].Share <= points[i - 1].Share)
                return "fraction and share must both rise from each point to the next";
        return null;
    }
}
