namespace Acquire.Scales;

/// <summary>What a <see cref="VerticalScale"/> must fulfil.</summary>
internal static class VerticalScaleRules
{
    // Far beyond any connector and any level; they keep products of two values inside a decimal and level sums inside their tables.
    public const decimal MaxVolts = 1_000_000;
    private const decimal MaxLevelDb = 1_000;

    public static void Check(VerticalScale scale)
    {
        if (!Enum.IsDefined(scale.Law)) throw new ArgumentException($"The law is {(int)scale.Law}; it must be logarithmic, voltage or power.");
        if (!Enum.IsDefined(scale.Up)) throw new ArgumentException($"Up is {(int)scale.Up}; it must be codes-rise or codes-fall.");
        if (scale.Volts is { } volts)
        {
            CheckVolts(volts.AtCodeZero);
            CheckVolts(volts.AtFullCode);
            if (volts.AtCodeZero == volts.AtFullCode)
                throw new ArgumentException($"Code 0 and full code are both {volts.AtCodeZero} V; they must differ. Give the volts at both ends of the converter.");
        }

        CheckVolts(scale.ZeroVolts);
        if (scale.Level.Count == 0) return;
        if (scale.Volts is null)
            throw new ArgumentException("The vertical has level points but no volts; give the volts at code 0 and at full code, too.");
        foreach (LevelPoint point in scale.Level)
        {
            CheckVolts(point.Volts);
            if (Math.Abs(point.LevelDb) > MaxLevelDb)
                throw new ArgumentException($"A level point is at {point.LevelDb} dB; levels lie within +-{MaxLevelDb} dB.");
        }

        if (scale.Law == VerticalLaw.Logarithmic) CheckLogarithmic(scale);
        else CheckLinear(scale);

        if (scale.ImpliedUp() is { } implied && implied != scale.Up)
        {
            throw new ArgumentException(
                $"Up is {scale.Up}, but by volts and level points a higher level has {(implied == SignalUp.CodesRise ? "higher" : "lower")} codes; set Up to {implied} or correct the points.");
        }
    }

    /// <summary>Whether all points lie on one straight line; decided in decimal fractions, as they were written.</summary>
    public static bool OnOneLine(ReadOnlySpan<LevelPoint> points)
    {
        for (int i = 2; i < points.Length; i++)
        {
            decimal left = (points[1].LevelDb - points[0].LevelDb) * (points[i].Volts - points[0].Volts);
            decimal right = (points[i].LevelDb - points[0].LevelDb) * (points[1].Volts - points[0].Volts);
            if (left != right) return false;
        }

        return true;
    }

    private static void CheckLogarithmic(VerticalScale scale)
    {
        if (scale.Level.Count < 2)
            throw new ArgumentException("A logarithmic vertical has 1 level point; it needs two or more. Give another pair of volts and level.");
        LevelPoint[] points = [.. scale.Level.OrderBy(p => p.Volts)];
        bool rising = points[1].LevelDb > points[0].LevelDb;
        for (int i = 1; i < points.Length; i++)
        {
            LevelPoint a = points[i - 1], b = points[i];
            if (a.Volts == b.Volts)
                throw new ArgumentException($"Two level points are at {a.Volts} V; each voltage may have one level. Take one of them out.");
            if (a.LevelDb == b.LevelDb || (b.LevelDb > a.LevelDb) != rising)
            {
                throw new ArgumentException(
                    $"The level goes from {a.LevelDb} dB at {a.Volts} V to {b.LevelDb} dB at {b.Volts} V; it must go one way over all points. Correct the point that turns back.");
            }
        }
    }

    private static void CheckLinear(VerticalScale scale)
    {
        if (scale.Level.Count != 1)
        {
            throw new ArgumentException(
                $"A vertical linear in {(scale.Law == VerticalLaw.Power ? "power" : "voltage")} has {scale.Level.Count} level points; it needs exactly one beside ZeroVolts.");
        }

        if (scale.Level[0].Volts == scale.ZeroVolts)
        {
            throw new ArgumentException(
                $"The level point is at {scale.ZeroVolts} V, which is ZeroVolts, the volts of no input; give a point with an input.");
        }
    }

    private static void CheckVolts(decimal volts)
    {
        if (Math.Abs(volts) > MaxVolts) throw new ArgumentException($"A voltage of the vertical is {volts} V; it must lie within +-{MaxVolts} V.");
    }
}
