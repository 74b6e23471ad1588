using Acquire.Harness.Inspect.Findings;
using Acquire.Harness.Inspect.Link;
using Acquire.Sweeps;

namespace Acquire.Harness.Inspect;

/// <summary>Looks at a recording: facts first, then findings.</summary>
internal static class Inspection
{
    /// <summary>Sweeps, and gaps, that are listed at most.</summary>
    public const int MostListed = 10_000;

    /// <summary>Walks the stream and gathers the facts.</summary>
    /// <param name="walk">The stream.</param>
    /// <param name="recording">What the file says.</param>
    /// <param name="setup">Setup.</param>
    /// <param name="cancel">Stops the walk.</param>
    public static InspectionFacts Look(IScanWalk walk, RecordingFacts recording, Setup setup, CancellationToken cancel)
    {
        (InspectionFacts facts, double rampNoise) = FirstFacts(walk, recording, setup, cancel);
        // Without a ramp that runs by itself there is no course to look at.
        if (setup.Sweep.Mode != SweepMode.Swept) return facts;
        // The engine's memory is free by now: spectra take its place instead of coming on top of it.
        GC.Collect(GC.MaxGeneration, GCCollectionMode.Aggressive);
        return facts with { Close = CloseLook.At(walk, setup, facts.Sweeps.First, facts.Ramp, rampNoise, cancel) };
    }

    /// <summary>Draws the findings from the facts, the gravest first.</summary>
    public static IReadOnlyList<Finding> Find(InspectionFacts facts) => Finding.Sort(
        StreamFindings.Of(facts)
            .Concat(RampFindings.Of(facts))
            .Concat(DirectionFindings.Of(facts))
            .Concat(CourseFindings.Of(facts))
            .Concat(SweepFindings.Of(facts))
            .Concat(VerticalFindings.Of(facts))
            .Concat(facts.Link is { } link ? LinkFindings.Of(link) : []));

    private static (InspectionFacts Facts, double RampNoiseCodes) FirstFacts(IScanWalk walk, RecordingFacts recording, Setup setup, CancellationToken cancel)
    {
        FirstLook first = new(setup, MostListed);
        walk.Walk(first.Visitors, cancel);
        IReadOnlyList<Survey.ChannelReport> channels = first.Complete();
        InspectionFacts facts = new()
        {
            Recording = recording,
            Setup = setup,
            Scans = first.ScanCount,
            Channels = channels,
            RampLikeVerticals = first.RampLikeVerticals,
            Ramp = first.Engine.Ramp,
            Axis = first.Engine.Axis,
            Accounting = first.Engine.Accounting,
            Sweeps = first.Sweeps,
            Gaps = first.Gaps,
            GapCount = first.GapCount,
            BreakCount = first.BreakCount,
            Close = null,
        };
        return (facts, channels[setup.Scan.RampChannel].NoiseCodes);
    }
}
