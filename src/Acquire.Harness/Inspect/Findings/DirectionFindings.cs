using Acquire.Harness.Inspect.Survey;
using Acquire.Sweeps;

namespace Acquire.Harness.Inspect.Findings;

/// <summary>Findings about a direction that was given and does not look like the one in which the beam draws.</summary>
internal static class DirectionFindings
{
    /// <summary>Draws them.</summary>
    public static IEnumerable<Finding> Of(InspectionFacts facts)
    {
        if (facts.Setup.Sweep.Mode != SweepMode.Swept) return [];
        ChannelReport ramp = facts.RampChannel;
        return facts.Setup.Sweep.Direction switch
        {
            RampDirection.Rising => OneWay(facts, ramp.RisingLegs, ramp.FallingLegs, rising: true),
            RampDirection.Falling => OneWay(facts, ramp.FallingLegs, ramp.RisingLegs, rising: false),
            RampDirection.Both => BothWays(facts, ramp),
            _ => [],
        };
    }

    private static IEnumerable<Finding> OneWay(InspectionFacts facts, LegStatistics drawn, LegStatistics back, bool rising)
    {
        if (!RoleGuess.IsRamp(facts.RampChannel, back, drawn) || drawn.MeanScans * RoleGuess.FasterBack > back.MeanScans) yield break;
        bool none = facts.Sweeps.Complete == 0;
        if (!none && Math.Min(drawn.Count, back.Count) < SweepFindings.LeastWholeLegs) yield break;
        string quick = drawn.Count == 0 ? "at once" : $"in {Say.Scans(drawn.MeanScans, facts.Setup)}";
        string other = rising ? "falling" : "rising";
        yield return new Finding(FindingName.DirectionDoubtful, none ? FindingSeverity.Error : FindingSeverity.Warning, Math.Max(1, facts.Sweeps.Complete),
            $"The beam is to draw while the ramp {(rising ? "rises" : "falls")}, as --direction or the setup says, but over most of its range the ramp does so {quick} and "
            + $"{(rising ? "falls" : "rises")} straight in {Say.Scans(back.MeanScans, facts.Setup)}: what is {(none ? "asked for" : "drawn")} looks like its retrace.",
            $"Give --direction {other}, or auto to have it learnt, and correct the setup's; only where the beam really draws the quicker way is nothing wrong.");
    }

    private static IEnumerable<Finding> BothWays(InspectionFacts facts, ChannelReport ramp)
    {
        bool rising = ramp.RisingLegs.MeanScans > ramp.FallingLegs.MeanScans;
        (LegStatistics slow, LegStatistics quick) = rising ? (ramp.RisingLegs, ramp.FallingLegs) : (ramp.FallingLegs, ramp.RisingLegs);
        if (Math.Min(slow.Count, quick.Count) < SweepFindings.LeastWholeLegs || !RoleGuess.IsRamp(ramp, slow, quick) || quick.MeanScans * RoleGuess.MuchFasterBack > slow.MeanScans) yield break;
        yield return new Finding(FindingName.DirectionDoubtful, FindingSeverity.Warning, Math.Max(1, rising ? facts.Sweeps.Falling : facts.Sweeps.Count - facts.Sweeps.Falling),
            $"The beam is to draw both ways, as --direction or the setup says, but over most of its range the ramp {(rising ? "falls" : "rises")} in {Say.Scans(quick.MeanScans, facts.Setup)} and "
            + $"{(rising ? "rises" : "falls")} in {Say.Scans(slow.MeanScans, facts.Setup)}: retraces are drawn as if they were sweeps.",
            $"Give --direction {(rising ? "rising" : "falling")}, or auto to have it learnt, and correct the setup's.");
    }
}
