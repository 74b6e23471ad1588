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
            : [.. setup.Scan.VerticalChannels.Select((_, vertical) => given.Over(setup.VerticalScaleOf(vertical), setup.Scan.FullCode))];

    private VerticalScale Over(VerticalScale scale, int fullCode)
    {
        scale = scale with { Volts = Volts ?? scale.Volts };
        if (Level is { } level)
        {
            if (scale.Volts is null)
                throw CommandFailure.Usage("--level", "levels belong to volts and nothing says what volts the vertical's codes are; add --vertical-volts");
            scale = scale with { Level = level.Points, LevelUnit = level.Unit };
        }

        scale = scale with { Law = Law ?? (Level is null ? scale.Law : VerticalLaw.Logarithmic) };
        SignalUp? implied = scale.ImpliedUp();
        if (Up is { } up && implied is { } right && up != right)
        {
            throw CommandFailure.Usage("--up", $"{Output.WordNames.Of(up)} contradicts the level scale, in which {Output.WordNames.Of(right)} when the level rises; "
                + "leave --up away, or correct --level or --vertical-volts");
        }

        scale = scale with { Up = implied ?? Up ?? scale.Up };
        try
        {
            _ = new VerticalConverter(scale, fullCode);
        }
        catch (ArgumentException exception)
        {
            string option = Level is not null ? "--level" : Law is not null ? "--law" : "--vertical-volts";
            throw CommandFailure.Usage(option, exception.Message);
        }

        return scale;
    }
}
