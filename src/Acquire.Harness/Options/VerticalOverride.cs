using Acquire.Harness.Shell;
using Acquire.Scales;

namespace Acquire.Harness.Options;

/// <summary>What the command line says of the verticals; null is "nothing".</summary>
internal sealed record VerticalOverride
{
    public CodeVolts? Volts { get; init; }

    public (IReadOnlyList<LevelPoint> Points, string Unit)? Level { get; init; }

    public VerticalLaw? Law { get; init; }

    public SignalUp? Up { get; init; }

    /// <summary>Scales of all verticals, with the command line laid over the setup's own.</summary>
    /// <param name="given">The command line.</param>
    /// <param name="setup">Setup whose scan format says how many verticals there are.</param>
    public static IReadOnlyList<VerticalScale> Apply(VerticalOverride given, Setup setup) =>
        given == new VerticalOverride()
            ? setup.Verticals
            : [.. setup.Scan.VerticalChannels.Select((_, vertical) => given.Over(setup.VerticalScaleOf(vertical)))];

    private VerticalScale Over(VerticalScale scale)
    {
        scale = scale with { Volts = Volts ?? scale.Volts };
        if (Level is { } level)
        {
            if (scale.Volts is null)
                throw CommandFailure.Usage("--level", "levels belong to volts and nothing says what volts the vertical's codes are; add --vertical-volts");
            scale = scale with { Level = level.Points, LevelUnit = level.Unit, Law = Law ?? VerticalLaw.Logarithmic };
        }
        else
        {
            scale = scale with { Law = Law ?? scale.Law };
        }

        if (scale.Volts is null || scale.Level.Count == 0) return scale with { Up = Up ?? scale.Up };
        CheckCount(scale);
        SignalUp implied = ImpliedUp(scale, scale.Volts);
        if (Up is { } up && up != implied)
        {
            throw CommandFailure.Usage("--up", $"{Name(up)} contradicts the level scale, in which the level rises when the codes {(implied == SignalUp.CodesRise ? "rise" : "fall")}; "
                + $"leave --up away or correct --level or --vertical-volts");
        }

        // Without --up a level on the command line decides; a setup file must not contradict itself either, so the level decides there too.
        return scale with { Up = implied };
    }

    private static void CheckCount(VerticalScale scale)
    {
        if (scale.Law == VerticalLaw.Logarithmic)
        {
            if (scale.Level.Count < 2)
                throw CommandFailure.Usage("--level", "a logarithmic scale needs two or more pairs, such as 0V=-100dB,-1V=0dB; add one, or give --law voltage or --law power");
            bool monotonic = true;
            for (int i = 1; i < scale.Level.Count; i++)
            {
                LevelPoint a = scale.Level[i - 1], b = scale.Level[i];
                LevelPoint first = scale.Level[0], second = scale.Level[1];
                monotonic &= Math.Sign(b.Volts - a.Volts) == Math.Sign(second.Volts - first.Volts) && a.Volts != b.Volts;
                monotonic &= Math.Sign(b.LevelDb - a.LevelDb) == Math.Sign(second.LevelDb - first.LevelDb) && a.LevelDb != b.LevelDb;
            }

            if (!monotonic)
                throw CommandFailure.Usage("--level", "volts and levels must go one way from pair to pair; sort the pairs by volts and take out equal ones");
        }
        else if (scale.Level.Count != 1 || scale.Level[0].Volts == scale.ZeroVolts)
        {
            throw CommandFailure.Usage("--level", $"the law {(scale.Law == VerticalLaw.Voltage ? "voltage" : "power")} takes exactly one pair with volts other than {scale.ZeroVolts}, such as 1V=0dB");
        }
    }

    private static SignalUp ImpliedUp(VerticalScale scale, CodeVolts volts)
    {
        decimal levelPerVolt = scale.Law == VerticalLaw.Logarithmic
            ? (scale.Level[1].LevelDb - scale.Level[0].LevelDb) * (scale.Level[1].Volts - scale.Level[0].Volts)
            : scale.Level[0].Volts - scale.ZeroVolts;
        decimal voltsPerCode = volts.AtFullCode - volts.AtCodeZero;
        return Math.Sign(levelPerVolt) * Math.Sign(voltsPerCode) >= 0 ? SignalUp.CodesRise : SignalUp.CodesFall;
    }

    private static string Name(SignalUp up) => up == SignalUp.CodesRise ? "codes-rise" : "codes-fall";
}
